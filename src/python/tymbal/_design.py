"""A design, and each command as a method of it."""

from __future__ import annotations

import functools
import tempfile
from typing import Any, Iterable, Mapping, Sequence, Union

from . import _core, _drawings, _options
from ._drawings import Drawing, Page, Pattern
from ._errors import InputError, NoAnswer
from ._fields import Shape, StressMap
from ._files import Path, path_text
from ._given import between, flag, pairs_of, plain, quantity, text, texts, whole
from ._materials import table
from ._measured import measured_file
from ._options import Quantity
from ._results import (CavityFit, CavityReport, Choice, Comparison, Light, Plan, Prediction, Released, Result, Sized, SweepTable,
                       answered)
from ._sweep import Progress, Sweep, axes_of
from ._toml import change_text, design_text
from ._tree import Record

Step = Union[str, tuple[tuple[str, Any], ...]]  # a key that goes, or changes made together


class Design:
    """A design as it is written, with what was changed since. It does not change itself and may be used by several threads.

    ``design.sha256`` in its results is the fingerprint of ``text``; ``changes`` says what was changed since.

    Made from nested dicts of a design file's sections, or the sections as keywords; ``read_design`` makes one from a file.
    A quantity is a text with a unit, as in a file ("1.00 +- 0.03 GPa"), or a float in SI units::

        Design(title="Tide-gauge drum",
               film={"material": "nitride-stoichiometric", "thickness": 100e-9, "stress": "1.00 +- 0.03 GPa"},
               outline={"shape": "rectangle", "width": 120e-6, "height": 120e-6})

    :param most_holes: most holes round which etch fronts are drawn
    :param hole_file: read instead of the one that holes.file names
    :param materials: folder of another material table
    :raises InputError: for TOML that is none; what it says is checked by ``check`` and by every task
    """

    def __init__(self, sections: Mapping[str, Any] | None = None, /, *, most_holes: int = 200_000, hole_file: Path = "",
                 materials: Path | None = None, **more: Any) -> None:
        given = dict(pairs_of("sections", {} if sections is None else sections))
        self._start(design_text({**given, **more}), "design", most_holes, hole_file, materials)

    def _start(self, written: str, path: str, most_holes: int, hole_file: Path, materials: Path | None) -> None:
        holes = whole("most_holes", most_holes, 1, 1_000_000)
        beside = path_text("hole_file", hole_file)
        self._arguments = (text("text", written), path, holes, beside, materials)
        self._steps: tuple[Step, ...] = ()
        self._held = _core.HeldDesign(written, path, holes, beside, table(materials))

    @classmethod
    def from_text(cls, text: str, *, path: Path = "design", most_holes: int = 200_000, hole_file: Path = "",
                  materials: Path | None = None) -> Design:
        """A design from the text of a design file. :param path: named in messages; hole files are looked for beside it"""
        design = cls.__new__(cls)
        design._start(text, path_text("path", path), most_holes, hole_file, materials)
        return design

    @property
    def text(self) -> str:
        """The design file's text, without the changes since."""
        return str(self._arguments[0])

    @property
    def path(self) -> str:
        return str(self._arguments[1])

    @property
    def changes(self) -> dict[str, Any]:
        """What ``with_`` changed, the last word on each key; None for a key that ``without`` took away."""
        return {key: value for step in self._steps for key, value in ([(step, None)] if isinstance(step, str) else step)}

    def __contains__(self, key: str) -> bool:
        """Whether a key or a section is written; defaults do not count."""
        return bool(self._held.has(text("key", key)))

    def __getitem__(self, key: str) -> Any:
        """The number of a key in SI units, or its text, as it is written. :raises KeyError: where it is not, or is a list"""
        value = self._held.value(text("key", key))
        if value is None:
            raise KeyError(f"{key} is not written, or no single value")
        return value[0] if isinstance(value, tuple) else value

    def deviation(self, key: str) -> float:
        """One standard deviation that the design gives a quantity, SI; 0 where none is stated."""
        value = self._held.value(text("key", key))
        return float(value[1]) if isinstance(value, tuple) else 0.0

    def with_(self, changes: Mapping[str, Any] | Record | None = None, /, **more: Any) -> Design:
        """The design with other values; this one stays as it is.

        :param changes: by key, ``{"holes.diameter": 2e-6, "film.stress": "1.05 +- 0.02 GPa"}``: floats in SI units, texts
            as in a design file, lists of either (limits, points, sites, names). The derived keys outline.scale, holes.scale
            and holes.fill_factor change many lengths. Also ``size``'s and ``choose``'s ``changes`` and ``lines``. None is no
            value: ``without`` takes a key away.
        :param more: the same by keywords, the dot written as two underscores: ``holes__diameter=2e-6``
        :raises InputError: for a key that no design has, with the nearest one
        """
        pairs = pairs_of("changes", changes) if changes is not None else []
        pairs += [(k.replace("__", "."), v) for k, v in more.items()]
        return self._next(tuple((key, plain(key, value)) for key, value in pairs))

    def without(self, key: str) -> Design:
        """The design without a key, or without a whole section such as "readout". :raises InputError: for no such key"""
        return self._next(text("key", key))

    def _next(self, step: Step) -> Design:
        other = type(self).__new__(type(self))
        other._arguments, other._steps = self._arguments, (*self._steps, step)
        other._held = self._held.without(step) if isinstance(step, str) else self._held.changed(
            [(key, change_text(key, value)) for key, value in step])
        return other

    def check(self) -> Design:
        """Reads all of it. :returns: itself :raises InputError: where it is not sound, naming file, line and key"""
        _core.check(self._held)
        return self

    def predict(self, *, modes: int | None = None, model: str | None = None, accuracy: float | None = None,
                near: Quantity | None = None, within: Quantity | None = None, stress_map: bool = False,
                memory_limit: float = 0.0, progress: Progress | None = None) -> Prediction:
        """Effective film, mode frequencies with errors, loss budget, readout figures.

        :param modes: how many; overrides solve.modes, as model and accuracy do
        :param near: the modes nearest to this frequency, "3.0 MHz" or Hz
        :param within: adds each mode's share of motion inside this radius of the origin, "60 um" or m
        :param stress_map: the result gets the relaxed stress as arrays, Pa
        :param memory_limit: GiB that a solution may hold; 0: what the machine has
        :param progress: called on this thread as progress(share, what); share is 0 to 1, or stays 0 where it is not known. The
            steps of large solutions are told; a film that is solved at once ends without a call.
        :returns: modes[k].shape has arrays x (m), y (m), w (largest 1)
        :raises InputError: the design is not sound
        :raises NoAnswer: a film that is not stable (``.result`` says where it would be), a model that does not apply
        """
        settings = _options.settings(modes, model, accuracy)
        json, page, refused, fields = _core.predict(self._held, settings, quantity("near", near), quantity("within", within),
                                                    _options.memory(memory_limit), flag("stress_map", stress_map), progress)
        if refused:
            raise NoAnswer(refused, Result(json, page))
        parts = fields.stress()
        found = Prediction(json, page, [], None) if not fields.count() else Prediction(
            json, page, [Shape(fields.shape(k)) for k in range(fields.count())], StressMap(parts) if parts else None)
        found.warn()
        return found

    def size(self, target_frequency: Quantity | None = None, *, mode: str | int = "", sizing: str = "outline", modes: int | None = None,
             model: str | None = None, accuracy: float | None = None, progress: Progress | None = None) -> Sized:
        """The outline that puts a mode on a frequency.

        :param target_frequency: "1.2 MHz" or Hz; default target.frequency
        :param mode: label or number; default target.mode or the lowest
        :param sizing: what gives way: "outline", "outline-and-holes", "width" or "height"
        :returns: ``design.with_(result.changes)`` is the answer
        :raises NoAnswer: no size does it
        """
        wanted = quantity("target_frequency", target_frequency)
        settings, name = _options.settings(modes, model, accuracy), _options.mode_text(mode)
        return answered(Sized, _core.size(self._held, settings, wanted, name, text("sizing", sizing), progress))

    def sweep(self, vary: str | Iterable[str] | Mapping[str, Any], *, modes: int | None = None, model: str | None = None,
              accuracy: float | None = None, threads: int = 0, progress: Progress | None = None) -> Sweep:
        """A grid of designs, row by row as they are solved.

        :param vary: "holes.diameter=1um..6um:11" as for the program, several of them, or a dict of key to the same or to
            values: floats in SI units, texts. Of several keys the last runs fastest.
        :param threads: default: all cores; the numbers are the same
        :returns: an iterator over rows; ``.table()`` and ``.frame()`` (pandas) have all of them
        """
        return Sweep(_core.sweep(self._held, _options.settings(modes, model, accuracy), axes_of(vary), _options.threads(threads)), progress)

    def choose(self, *, samples: int = 60, threads: int = 0, robust: bool = False, least_chance: float = 0.9,
               modes: int | None = None, model: str | None = None, accuracy: float | None = None,
               progress: Progress | None = None) -> Choice:
        """Searches [free] inside [limits].

        :param samples: first designs, spread over the free ranges
        :param robust: seeks the largest chance to meet the frequency window before what target.aim says
        :returns: ``design.with_(result.lines)`` is the recommended design
        :raises NoAnswer: no solved design holds all limits
        """
        settings = _options.settings(modes, model, accuracy)
        return answered(Choice, _core.choose(self._held, settings, whole("samples", samples, 4, 100_000), _options.threads(threads),
                                             flag("robust", robust), between("least_chance", least_chance, 0.0, 1.0), progress))

    def release(self, *, progress: Progress | None = None) -> Released:
        """Undercut front, etch time and window, film loss, drying and collapse margins, cautions."""
        return answered(Released, _core.release(self._held, progress))

    def plan(self, *, aim: str | Sequence[str] = (), allowed_shift: float = 1e-4, gas_share: float = 0.1,
             measured_q: Mapping[str, float] | None = None, modes: int | None = None, model: str | None = None,
             accuracy: float | None = None, memory_limit: float = 0.0, progress: Progress | None = None) -> Plan:
        """The measurement plan.

        :param aim: labels of the modes that one spot shall serve, or one label; default: all
        :param allowed_shift: relative shift by the light's heat that is accepted
        :param gas_share: part of the loss that gas may make
        :param measured_q: Q that modes were measured to have, by label
        """
        return answered(Plan, _core.plan(self._held, _options.settings(modes, model, accuracy),
                                         between("allowed_shift", allowed_shift, 1e-9, 0.1), between("gas_share", gas_share, 1e-6, 0.9),
                                         texts("aim", aim), _options.qualities(measured_q), _options.memory(memory_limit), progress))

    def light(self, wavelength: tuple[Quantity, Quantity] | None = None, *, progress: Progress | None = None) -> Light:
        """What the film with its holes does to light.

        :param wavelength: (from, to) of lines and spectrum, "1500 nm" or m
        :returns: spectrum.wavelength_m (m), .reflectivity, .transmission, .error are arrays
        """
        ends = (None, None) if wavelength is None else plain("wavelength", wavelength)
        if not isinstance(ends, tuple) or len(ends) != 2:
            raise InputError(f"wavelength: is {wavelength!r}; accepted: two lengths (from, to)", key="wavelength")
        first, last = (quantity("wavelength", end) for end in ends)
        return answered(Light, _core.light(self._held, first, last, progress))

    def cavity(self, *, modes: int | None = None, model: str | None = None, accuracy: float | None = None,
               memory_limit: float = 0.0, progress: Progress | None = None) -> CavityReport:
        """The film in its cavity: coupling, loss, cooling, limits, noise. Needs a section [cavity]."""
        settings = _options.settings(modes, model, accuracy)
        return answered(CavityReport, _core.cavity(self._held, settings, _options.memory(memory_limit), progress))

    def compare(self, measured: Any, *, also: Sequence[tuple[Design, Any]] = (), modes: int | None = None,
                stress_prior: bool = False, kind: str | None = None, signal: str | None = None, width: str | None = None,
                decimal: str | None = None, resolution: Quantity | None = None, frequency: Quantity | None = None,
                progress: Progress | None = None) -> Comparison:
        """Measured resonances against this design: modes named, film fitted.

        :param measured: a CSV file as for the program, or a table: a dict of columns or a pandas frame with the file's
            column names, the unit behind them, as ``{"frequency (Hz)": [...], "uncertainty (Hz)": [...]}``
        :param also: (design, measured) of other devices of the same chip
        :param stress_prior: the design's stress counts as known to its deviation
        :raises NoAnswer: the peaks do not tell which modes they are
        """
        reading = _options.reading(kind, signal, width, decimal, resolution, frequency)
        pairs = [(self, measured), *_others(also)]
        with tempfile.TemporaryDirectory(prefix="tymbal-") as folder:
            devices = [(design._held, measured_file(data, folder, number, decimal)) for number, (design, data) in enumerate(pairs)]
            told = _core.compare(devices, reading, _options.count(modes), flag("stress_prior", stress_prior), progress)
        return answered(Comparison, told)

    def compare_cavity(self, measured: Any, *, modes: int | None = None, width: str | None = None, decimal: str | None = None,
                       progress: Progress | None = None) -> CavityFit:
        """One mode's lines at several detunings of the light: how strongly it couples.

        :param measured: a CSV file or a table, as for ``compare``, with columns ``detuning``, ``frequency`` and as wanted
            ``uncertainty``, ``linewidth``, ``linewidth uncertainty``
        :returns: found.g0_hz, found.kappa_hz with deviations; of_design has what the design predicts
        :raises NoAnswer: the lines do not follow the detuning, or are too few
        """
        with tempfile.TemporaryDirectory(prefix="tymbal-") as folder:
            file = measured_file(measured, folder, 0, decimal)
            told = _core.compare_cavity(self._held, file, _options.reading(None, None, width, decimal, None, None),
                                        _options.settings(modes, None, None), progress)
        return answered(CavityFit, told)

    def draw(self, out: Path | None = None) -> Drawing:
        """The picture of the design to scale, before anything is computed: what `tymbal draw` makes.

        :param out: file to write as well, .svg
        :returns: the SVG as a text that a notebook shows
        :raises InputError: the design is not sound, or ``out`` would replace a file of the design
        :raises NoAnswer: no hole fits
        """
        return Drawing(_core.draw(self._held, _drawings.target(out)))

    def report(self, out: Path | None = None, *, measured: Any = None, sweep: Path | Sweep | SweepTable | None = None, sweep_mode: int = 1,
               modes: int | None = None, model: str | None = None, accuracy: float | None = None,
               progress: Progress | None = None) -> Page:
        """One page with all that is known of the design: what `tymbal report` makes.

        :param out: file to write as well
        :param measured: a CSV file or a table, as for ``compare``; adds the comparison
        :param sweep: a sweep, its table or the CSV that `tymbal sweep` wrote; adds its curves of mode ``sweep_mode``
        :returns: the HTML as a text that a notebook shows
        :raises NoAnswer: as ``predict``
        """
        with tempfile.TemporaryDirectory(prefix="tymbal-") as folder:
            lines = None if measured is None else measured_file(measured, folder, 0, None)
            return Page(_core.report(self._held, _options.settings(modes, model, accuracy), _drawings.target(out), lines,
                                     _drawings.sweep_text(sweep), whole("sweep_mode", sweep_mode, 1, 200), progress))

    def pattern(self, out: Path | None = None, *, format: str | None = None, witnesses: str | Sequence[str] = (), label: str = "",
                corners: int = 199, layers: Path | Mapping[str, Sequence[int]] | None = None, allow_broken: bool = False,
                progress: Progress | None = None) -> Pattern:
        """What to draw for the mask writer, process bias taken off: what `tymbal pattern` makes.

        :param out: file to write as well: .gds, .svg or .csv
        :param format: "gds" (default), "svg" or "csv" of ``.drawing`` where no file is named
        :param witnesses: figures beside the membrane: "undercut-ruler", "hole-ladder", ...
        :param corners: most corners of one figure
        :param layers: layer and datatype of each kind of figure, ``{"holes": (12, 0)}``, or a file of the same
        :returns: JSON's names, and the file's bytes as ``drawing``
        :raises NoAnswer: widths that cannot be printed (``.result`` has the checks; ``allow_broken`` draws them), no holes and openings
        """
        wish = _drawings.mask_options(format, witnesses, label, corners, allow_broken)
        return _drawings.masked(_core.pattern, self._held, out, wish, layers, progress)

    def __eq__(self, other: object) -> bool:
        """Same keys with the same values as written: "50 nm" is not 50e-9, nor a changed float a written one. Where they come
        from does not count."""
        return isinstance(other, Design) and bool(self._held.same(other._held))

    __hash__ = None  # type: ignore[assignment]

    def __reduce__(self) -> tuple[Any, ...]:
        return _again, (self._arguments, self._steps)

    def __repr__(self) -> str:
        return f"<Design {self.path}" + "".join(f", {key} = {value}" for key, value in self.changes.items()) + ">"

    def _repr_html_(self) -> str:
        from ._cards import design_card

        title = self["title"] if "title" in self else ""
        return design_card(str(title), self.path, self.changes.items())


def _others(also: Any) -> list[tuple[Design, Any]]:
    others = list(also) if isinstance(also, (list, tuple)) else [None]
    if not all(isinstance(one, (list, tuple)) and len(one) == 2 and isinstance(one[0], Design) for one in others):
        raise InputError("also: accepted: a list of (design, measured)", key="also")
    return others


def _again(arguments: tuple[Any, ...], steps: tuple[Step, ...]) -> Design:
    design = Design.__new__(Design)
    design._start(*arguments)
    return functools.reduce(Design._next, steps, design)


def read_design(path: Path, *, most_holes: int = 200_000, hole_file: Path = "", materials: Path | None = None) -> Design:
    """The design of a file.

    :param most_holes: most holes round which etch fronts are drawn
    :param hole_file: read instead of the one that holes.file names
    :param materials: folder of another material table
    :raises InputError: naming file, line and key for anything unknown, misspelt, out of range or impossible
    """
    written = _core.read_text(path_text("path", path))
    return Design.from_text(written, path=path, most_holes=most_holes, hole_file=hole_file, materials=materials).check()
