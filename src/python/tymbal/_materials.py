"""The material table, found beside the package and read once."""

from __future__ import annotations

import functools
import os
import pathlib

from . import _core
from ._files import path_text
from ._given import text
from ._results import MaterialTable

_here = pathlib.Path(__file__).resolve().parent


def _folder(wanted: str) -> str:
    """Named, else by TYMBAL_MATERIALS, else in the package or where Debian has it, else the source tree's."""
    if wanted or os.environ.get("TYMBAL_MATERIALS"):
        return wanted or os.environ["TYMBAL_MATERIALS"]
    for folder in (_here / "materials", _here.parents[3] / "share" / "tymbal" / "materials"):
        if (folder / "gases.toml").is_file():
            return str(folder)
    return ""


@functools.lru_cache(maxsize=8)
def _read(folder: str) -> _core.Materials:
    return _core.Materials(folder)


def table(wanted: str | os.PathLike[str] | None = None) -> _core.Materials:
    return _read(_folder(path_text("materials", wanted) if wanted else ""))


def materials(row: str = "", *, folder: str | os.PathLike[str] | None = None) -> MaterialTable:
    """The material table: per row its properties in SI units, each with ``value``, ``std``, ``source``, ``obtained``.

    :param row: one row alone, e.g. "silicon"
    :param folder: of another table; default: the environment variable TYMBAL_MATERIALS, else the installed table
    :raises InputError: for a row that is not in the table, with the nearest one

    >>> materials("nitride-stoichiometric")["nitride-stoichiometric"].density_kg_per_m3.value
    3100.0
    """
    return MaterialTable(*_core.materials(table(folder), text("row", row)))
