"""Measured lines for ``compare``: a path as it is, a table as a file for the occasion."""

from __future__ import annotations

import os
import re
from typing import Any, Iterator

from ._errors import InputError
from ._given import plain, text

# What a row of a file cannot hold, or would begin a comment with.
_not_in_a_cell = re.compile(r'["\x00-\x1f]|^\s*(#|%|!|//)')


def measured_file(measured: Any, folder: str, number: int, decimal: str | None) -> tuple[str, str]:
    """The file, and the name that it goes by in messages and results."""
    if isinstance(measured, (str, os.PathLike)):
        path = os.fspath(measured)
        return path, path
    if decimal is not None:
        raise InputError("decimal: is for files; a table holds numbers", key="decimal")
    name = f"measured-{number + 1}"
    lines = list(_csv(name, _columns(name, measured)))
    path = os.path.join(folder, name + ".csv")
    with open(path, "w", encoding="utf-8") as file:
        file.writelines(line + "\n" for line in lines)
    return path, name


def _columns(name: str, measured: Any) -> dict[str, list[Any]]:
    try:
        columns = {str(column): list(plain(name, list(measured[column]))) for column in measured}
    except (TypeError, KeyError, IndexError):
        raise InputError(f"{name}: is a {type(measured).__name__}; accepted: a file, a dict of columns, a pandas frame",
                         file=name) from None
    lengths = {len(values) for values in columns.values()}
    if len(lengths) != 1:
        told = ", ".join(f"'{column}' has {len(values)}" for column, values in columns.items())
        raise InputError(f"{name}: its columns must be equally long: {told or 'there are none'}", file=name)
    return columns


def _csv(name: str, columns: dict[str, list[Any]]) -> Iterator[str]:
    """Numbers with all their digits, texts in quotes."""
    if any(";" in column for column in columns):
        raise InputError(f"{name}: has a ';' in the name of a column, which would part it", file=name)
    yield ",".join(_cell(name, column) for column in columns)
    for row in zip(*columns.values()):
        yield ",".join(_cell(name, value) for value in row)


def _cell(name: str, value: Any) -> str:
    if isinstance(value, str):
        if _not_in_a_cell.search(text(name, value)):
            raise InputError(f"{name}: has the text {value!r}; accepted: one line without quotes that begins no comment", file=name)
        return f'"{value}"'
    try:
        return repr(float(value))
    except (TypeError, ValueError, OverflowError):
        raise InputError(f"{name}: holds {value!r}; accepted: numbers and texts", file=name) from None
