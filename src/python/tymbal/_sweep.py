"""A sweep as an iterator over its rows."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any, Callable, Iterable, Iterator, Mapping

from . import _core
from ._errors import InputError
from ._given import pairs_of, plain, texts
from ._results import SweepTable
from ._tree import Record

if TYPE_CHECKING:
    import pandas

Progress = Callable[[float, str], Any]


class Sweep:
    """Rows of a sweep, as they are solved and in the order of the grid: an iterator. Several threads may share one.

    Solving begins when the sweep is made and goes on beside the loop over it; it ends with the last row, with ``close()``,
    at the end of a ``with`` block, or when the sweep is forgotten. A row is a Record with the names of the program's columns;
    ``row.error`` is None, or says why this design has no figures.
    """

    def __init__(self, running: _core.RunningSweep, progress: Progress | None) -> None:
        self._running, self._progress = running, progress
        self._head = running.head()
        self._lines: list[str] = []

    def __len__(self) -> int:
        """Designs of the grid."""
        return len(self._running)

    def __iter__(self) -> Iterator[Record]:
        return self

    def __next__(self) -> Record:
        return self._row(self._line())

    def _line(self) -> str:
        line = self._running.next()
        if line is None:
            raise StopIteration
        self._lines.append(line)
        if self._progress:
            try:
                self._progress(len(self._lines) / len(self), f"{len(self._lines)} of {len(self)}")
            except BaseException:
                self.close()
                raise
        return line

    def _row(self, line: str) -> Record:
        row: Record = json.loads(_core.sweep_json(self._head + line), object_hook=Record).rows[0]
        return row

    def table(self) -> SweepTable:
        """All rows, those already taken too; waits for what is missing. After ``close()``: those there are."""
        while True:
            try:
                self._line()
            except StopIteration:
                break
        text = self._head + "".join(self._lines)
        return SweepTable(_core.sweep_json(text), _core.sweep_table(text), _core.sweep_csv(text))

    def frame(self) -> pandas.DataFrame:
        """``table()`` as a pandas frame."""
        return self.table().frame()

    def close(self) -> None:
        """Stops solving; no rows follow."""
        self._running.close()

    def __reduce__(self) -> Any:
        raise TypeError("a sweep that runs cannot be pickled; its table() can")

    def __enter__(self) -> Sweep:
        return self

    def __exit__(self, *_: Any) -> None:
        self.close()


def axes_of(vary: str | Iterable[str] | Mapping[str, Any]) -> list[Any]:
    """``"KEY=FROM..TO:COUNT"``, several of them, or a dict of the same or of values."""
    if not isinstance(vary, Mapping):
        return texts("vary", vary)
    return [f"{key}={values}" if isinstance(values, str) else (key, _values(key, values)) for key, values in pairs_of("vary", vary)]


def _values(key: str, values: Any) -> tuple[Any, ...]:
    found = plain(key, list(values) if isinstance(values, range) else values)
    if not isinstance(found, tuple):
        raise InputError(f"{key}: is {values!r}; accepted: a list of values, or a text such as \"1um..6um:11\"", key=key)
    return found
