"""Files of callers, and files for an occasion."""

from __future__ import annotations

import contextlib
import os
import pathlib
import tempfile
from typing import Iterator, Union

from ._errors import InputError
from ._given import text

Path = Union[str, "os.PathLike[str]"]


def path_text(name: str, value: Path) -> str:
    """:raises InputError: for what is no path"""
    try:
        return text(name, os.fspath(value))
    except TypeError:
        raise InputError(f"{name}: is {value!r}; accepted: a path", key=name) from None


@contextlib.contextmanager
def as_file(name: str, lines: str) -> Iterator[str]:
    """The path of a file that holds the text, while it is needed. What is wrong in it is said of the name, without lines."""
    with tempfile.TemporaryDirectory(prefix="tymbal-") as folder:
        path = pathlib.Path(folder, "text.toml")
        path.write_text(lines, encoding="utf-8")
        try:
            yield str(path)
        except InputError as error:
            if error.file != str(path):
                raise
            said = str(error).removeprefix(str(path)).removeprefix(f":{error.line}")
            raise InputError(name + said, key=error.key) from None
