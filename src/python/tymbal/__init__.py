"""Design calculator for released silicon-nitride membranes.

>>> import tymbal
>>> d = tymbal.read_design("drum.toml")
>>> d2 = d.with_({"holes.diameter": 2e-6})
>>> p = d2.predict()
>>> p.modes[0].frequency_hz, p.modes[0].frequency_std_hz

Numbers are those of the program's JSON, bit for bit, under the same names: floats in SI units with the unit in the name.
``tymbal guide python`` has a page on the module.
"""

from ._version import version as __version__

from . import _core as _core

if _core.version != __version__:
    raise ImportError(f"tymbal's Python files are of version {__version__}, its library {_core.__file__} is of version "
                      f"{_core.version}; install both from one build")

from ._chip import Chip, read_chip
from ._design import Design, read_design
from ._drawings import Drawing, Page, Pattern
from ._errors import DesignWarning, InputError, NoAnswer
from ._fields import Shape, StressMap
from ._materials import materials
from ._record import ChipRecord
from ._results import (CavityFit, CavityReport, ChipPlan, ChipPrediction, ChipRelease, Choice, Comparison, Learned, Light, MaterialTable,
                       Mode, Plan, Prediction, Released, Result, Sized, SweepTable, WaferFilm)
from ._sweep import Sweep
from ._tasks import (cavity, check, choose, compare, compare_cavity, draw, film, light, pattern, plan, predict, release, report, size,
                     sweep)
from ._tree import Record

__all__ = [
    "CavityFit", "CavityReport", "Chip", "ChipPlan", "ChipPrediction", "ChipRecord", "ChipRelease", "Choice", "Comparison",
    "Design", "DesignWarning", "Drawing", "InputError", "Learned", "Light", "MaterialTable", "Mode", "NoAnswer", "Page", "Pattern",
    "Plan", "Prediction", "Record", "Released", "Result", "Shape", "Sized", "StressMap", "Sweep", "SweepTable", "WaferFilm",
    "cavity", "check", "choose", "compare", "compare_cavity", "draw", "film", "light", "materials", "pattern", "plan", "predict",
    "read_chip", "read_design", "release", "report", "size", "sweep",
]
