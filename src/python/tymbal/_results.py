"""Results: what the program writes as JSON, as objects of the same names.

Values are floats in SI units with the unit in the name, standard deviations stand beside them (``frequency_std_hz``), what does not
apply is None. Each key is described in ``examples/schema``. ``print(result)`` shows the program's table, ``result.json`` is its JSON.
"""

from __future__ import annotations

import os
import sys
import warnings
from typing import TYPE_CHECKING, Any, TypeVar

from ._errors import DesignWarning
from ._fields import Shape, StressMap
from ._toml import quantity_text
from ._tree import Record, fields_of

if TYPE_CHECKING:
    import pandas


_package = os.path.dirname(__file__)


class Result(Record):
    """One command's answer."""

    def __init__(self, json: str, table: str, **more: Any) -> None:
        super().__init__({"_json": json, "_table": table, **fields_of(json), **more})

    @property
    def json(self) -> str:
        """The text that the program writes with ``--json``."""
        return str(self.__dict__["_json"])

    def __str__(self) -> str:
        return str(self.__dict__["_table"])

    def __repr__(self) -> str:
        design = self.__dict__.get("design")
        title = f" of '{design.title}'" if isinstance(design, Record) and design.title else ""
        return f"<{type(self).__name__}{title}: {', '.join(self)}>"

    def _repr_html_(self) -> str:
        from ._cards import card

        return card(self)

    def __reduce__(self) -> tuple[Any, ...]:
        return type(self), (self.json, str(self)), None

    def warn(self) -> None:
        """Passes the result's warnings to ``warnings``, as from the line that called this package."""
        depth, frame = 1, sys._getframe()
        while frame.f_back and os.path.dirname(frame.f_code.co_filename) == _package:
            depth, frame = depth + 1, frame.f_back
        for text in self.__dict__.get("warnings") or []:
            warnings.warn(text, DesignWarning, stacklevel=depth)


class Mode(Record):
    """A mode of a prediction; ``shape`` has its arrays."""

    shape: Shape
    label: str
    frequency_hz: float
    discretisation_error_hz: float

    def __repr__(self) -> str:
        return f"<Mode {self['index']} {self.label}: {self.frequency_hz:.6g} Hz>"

    def plot(self, ax: Any = None) -> Any:
        """Draws the mode's shape. :returns: matplotlib's axes"""
        axes = self.shape.plot(ax)
        axes.set_title(f"{self.label}  {self.frequency_hz / 1e6:.4f} MHz")
        return axes


class Prediction(Result):
    """What ``predict`` found: film, modes with losses and readout figures, limits, sources, warnings.

    ``stress_map`` is None unless it was asked for.
    """

    modes: list[Mode]

    def __init__(self, json: str, table: str, shapes: list[Shape], stress_map: StressMap | None) -> None:
        super().__init__(json, table)
        modes = [Mode({**vars(mode), "shape": shape}) for mode, shape in zip(self.modes, shapes)]
        self.__dict__.update(modes=modes, _stress_map=stress_map)

    @property
    def stress_map(self) -> StressMap | None:
        found: StressMap | None = self.__dict__["_stress_map"]
        return found

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Prediction) and super().__eq__(other) and self.stress_map == other.stress_map

    __hash__ = None  # type: ignore[assignment]

    def __reduce__(self) -> tuple[Any, ...]:
        return type(self), (self.json, str(self), [mode.shape for mode in self.modes], self.stress_map)

    def mode(self, label: str | int) -> Mode:
        """The mode of this label, such as "(1,1)" or "1,1", or of this index from 1. :raises KeyError: with the labels there are"""
        for mode in self.modes:
            if label in (mode.label, mode.label.strip("()"), mode["index"]):
                return mode
        raise KeyError(f"no mode '{label}' among {', '.join(mode.label for mode in self.modes)}")

    def plot(self, what: str = "modes") -> Any:
        """Draws "modes" (their shapes) or "budget" (loss of each mode by mechanism). :returns: matplotlib's figure"""
        from ._plots import draw_budget, draw_modes

        if what not in ("modes", "budget"):
            raise ValueError(f"'{what}' is not drawn; accepted: modes, budget")
        return draw_modes(self) if what == "modes" else draw_budget(self)


class Sized(Result):
    """What ``size`` found; ``design.with_(sized.changes)`` is the design of that size."""


class ChipPlan(Result):
    """What ``plan`` found of a chip: a plan a device."""


class ChipPrediction(Result):
    """What ``predict`` found of a chip: a prediction a device, and the modes that lie close to each other."""


class ChipRelease(Result):
    """What ``release`` found of a chip: the common window in the bath, who opens and who closes it."""


class Learned(Result):
    """What a record teaches: each figure with its scatter within and between chips, and what to measure next."""

    @property
    def changes(self) -> dict[str, str]:
        """The lines for the next design, by key, each with the deviation to be expected with it, where one is known."""
        return {line.key: quantity_text(line.key, line.value, line.std) for line in self.lines}


class Choice(Result):
    """What ``choose`` found; ``design.with_(choice.lines)`` is the recommended design."""

    def plot(self, ax: Any = None) -> Any:
        """Draws the trade-offs: Q f over frequency for the Pareto set. :returns: matplotlib's axes"""
        from ._plots import draw_choice

        return draw_choice(self, ax)


class Released(Result):
    """What ``release`` found: front, etch time and window, film loss, drying, cautions."""


class Plan(Result):
    """What ``plan`` found: windows, times, spots, drive, pressure and power limits, cautions."""


class Light(Result):
    """What ``light`` found. The three lists of ``spectrum`` are arrays of equal length."""

    def __init__(self, json: str, table: str) -> None:
        import numpy as np

        super().__init__(json, table)
        self.__dict__["spectrum"] = Record({name: np.array(values) for name, values in vars(self.spectrum).items()})

    def plot(self, ax: Any = None) -> Any:
        """Draws the spectrum. :returns: matplotlib's axes"""
        from ._plots import draw_spectrum

        return draw_spectrum(self, ax)


class CavityReport(Result):
    """What ``cavity`` found: coupling and width along half a wavelength, modes, noise, limits."""

    def plot(self, ax: Any = None) -> Any:
        """Draws coupling along half a wavelength. :returns: matplotlib's axes"""
        from ._plots import draw_cavity

        return draw_cavity(self, ax)


class Comparison(Result):
    """What ``compare`` found: named peaks, fitted film, verdict."""

    def plot(self, ax: Any = None, device: int = 0) -> Any:
        """Draws measured over fitted frequency of the named peaks. :returns: matplotlib's axes"""
        from ._plots import draw_comparison

        return draw_comparison(self, ax, device)


class CavityFit(Result):
    """What ``compare_cavity`` found: coupling and width of the cavity from spring and damping, beside the design's."""


class WaferFilm(Result):
    """What ``film`` found: stress with its uncertainty, thickness, forecast per die."""


class MaterialTable(Result):
    """Rows of the material table."""


class SweepTable(Result):
    """A sweep's rows, in the order of the grid; names of the columns as in the program's table."""

    def __init__(self, json: str, table: str, csv: str) -> None:
        super().__init__(json, table, _csv=csv)

    @property
    def csv(self) -> str:
        """The text that the program writes with ``--csv``."""
        return str(self.__dict__["_csv"])

    def __reduce__(self) -> tuple[Any, ...]:
        return type(self), (self.json, str(self), self.csv)

    def frame(self) -> pandas.DataFrame:
        """One line per design, columns as in the program's CSV. Needs pandas."""
        import pandas

        return pandas.DataFrame([vars(row) for row in self.rows])

    def plot(self, column: str = "frequency_hz_1", ax: Any = None) -> Any:
        """Draws a column over the first varied key with numbers, a line for each value of the others.

        :returns: matplotlib's axes
        :raises KeyError: for a column that is not there, with those that hold numbers
        """
        from ._plots import draw_sweep

        return draw_sweep(self, column, ax)


Answer = TypeVar("Answer", bound=Result)


def answered(kind: type[Answer], texts: tuple[str, str]) -> Answer:
    found = kind(*texts)
    found.warn()
    return found
