"""The methods of a design as functions that take a design or the path of its file."""

from __future__ import annotations

import functools
from typing import Callable, Concatenate, ParamSpec, TypeVar

from . import _core
from ._design import Design, read_design
from ._files import Path, path_text
from ._materials import table
from ._options import mode_text
from ._results import WaferFilm
from ._sweep import Progress

Options = ParamSpec("Options")
Answer = TypeVar("Answer")


def _of_any(task: Callable[Concatenate[Design, Options], Answer]) -> Callable[Concatenate[Design | Path, Options], Answer]:
    @functools.wraps(task)
    def run(design: Design | Path, /, *words: Options.args, **options: Options.kwargs) -> Answer:
        return task(design if isinstance(design, Design) else read_design(design), *words, **options)

    return run


check = _of_any(Design.check)
predict = _of_any(Design.predict)
size = _of_any(Design.size)
sweep = _of_any(Design.sweep)
choose = _of_any(Design.choose)
release = _of_any(Design.release)
plan = _of_any(Design.plan)
light = _of_any(Design.light)
cavity = _of_any(Design.cavity)
compare = _of_any(Design.compare)
compare_cavity = _of_any(Design.compare_cavity)
draw = _of_any(Design.draw)
report = _of_any(Design.report)
pattern = _of_any(Design.pattern)


def film(wafer: Path, *, design: Design | Path | None = None, mode: str | int = "", materials: Path | None = None,
         progress: Progress | None = None) -> WaferFilm:
    """Film stress from a wafer's bow, and a forecast per die.

    :param wafer: wafer file (TOML)
    :param design: whose film this is: gives the forecast
    :param mode: label or number of the mode of the forecast; default the lowest
    :param materials: folder of another material table
    """
    read = design if design is None or isinstance(design, Design) else read_design(design)
    found = WaferFilm(*_core.film(path_text("wafer", wafer), table(materials), read._held if read else None, mode_text(mode), progress))
    found.warn()
    return found
