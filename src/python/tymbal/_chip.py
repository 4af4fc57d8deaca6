"""A chip of many devices: one etch, one drawing."""

from __future__ import annotations

import os
import tempfile
from typing import Any, Mapping, Sequence

from . import _core, _drawings, _options
from ._design import Design
from ._drawings import Drawing, Page, Pattern
from ._files import Path, path_text
from ._given import between, flag, quantity, text, whole
from ._materials import table
from ._measured import measured_file
from ._options import Quantity
from ._record import ChipRecord
from ._results import ChipPlan, ChipPrediction, ChipRelease, Comparison, answered
from ._sweep import Progress


class Chip:
    """The devices of a chip file. The file is read again by each task, so that it must stay where it is."""

    def __init__(self, path: Path, *, most_holes: int = 200_000, materials: Path | None = None) -> None:
        holes = whole("most_holes", most_holes, 1, 1_000_000)
        file = path_text("path", path)
        self._arguments = (file, holes, materials)
        self._held = _core.HeldChip(file, holes, table(materials))

    @property
    def path(self) -> str:
        return str(self._arguments[0])

    @property
    def title(self) -> str:
        return self._held.title

    @property
    def devices(self) -> list[str]:
        """Names, in the order of the chip file."""
        return self._held.devices

    def device(self, name: str) -> Design:
        """One device as a design of its own, with the chip's sections and the device's changes in it.

        :raises KeyError: with the names there are
        """
        if name not in self.devices:
            raise KeyError(f"no device '{name}' among {', '.join(self.devices)}")
        _, most_holes, materials = self._arguments
        text, path = self._held.device(name)
        return Design.from_text(text, path=path, most_holes=most_holes, materials=materials)

    def predict(self, *, neighbours: Quantity = 1e3, modes: int | None = None, model: str | None = None,
                accuracy: float | None = None, threads: int = 0, progress: Progress | None = None) -> ChipPrediction:
        """All devices, beside each other on all cores.

        :param neighbours: modes of two devices within this distance are listed, "2 kHz" or Hz
        :returns: ``devices[k]`` has the keys of ``Design.predict``; ``film`` is None where a device has no answer, and its
            ``warnings`` say why
        :raises InputError: the chip is not sound
        """
        return answered(ChipPrediction, self._held.predict(_options.settings(modes, model, accuracy), quantity("neighbours", neighbours),
                                                           _options.threads(threads), progress))

    def release(self, *, threads: int = 0, progress: Progress | None = None) -> ChipRelease:
        """One bath for all devices: when the last is clear, when the first limit breaks.

        :returns: ``window_opens_s`` and ``window_closes_s``, None where nothing sets them
        :raises NoAnswer: a device has no [release]
        """
        return answered(ChipRelease, self._held.release(_options.threads(threads), progress))

    def plan(self, *, allowed_shift: float = 1e-4, gas_share: float = 0.1, modes: int | None = None, model: str | None = None,
             accuracy: float | None = None, threads: int = 0, progress: Progress | None = None) -> ChipPlan:
        """A measurement plan a device.

        :param allowed_shift: relative shift by the light's heat that is accepted
        :param gas_share: part of the loss that gas may make
        """
        between("allowed_shift", allowed_shift, 1e-9, 0.1)
        between("gas_share", gas_share, 1e-6, 0.9)
        return answered(ChipPlan, self._held.plan(_options.settings(modes, model, accuracy), allowed_shift, gas_share, _options.threads(threads),
                                                  progress))

    def compare(self, measured: Any, *, modes: int | None = None, stress_prior: bool = False, kind: str | None = None,
                signal: str | None = None, width: str | None = None, decimal: str | None = None,
                resolution: Quantity | None = None, frequency: Quantity | None = None, threads: int = 0,
                progress: Progress | None = None) -> Comparison:
        """Measured resonances of the devices against the chip: one film and one undercut for all.

        :param measured: a CSV file or a table (see ``Design.compare``) with a column ``device``, or a dict from the devices'
            names to a file or a table each
        :param stress_prior: the chip's stress counts as known to its deviation
        :returns: as ``Design.compare``; ``devices[k].name`` is the device's, ``devices[k].against_others`` where its lines lie
            against a fit of all others
        :raises InputError: for a name that is no device's
        :raises NoAnswer: the peaks do not tell which modes they are
        """
        reading = _options.reading(kind, signal, width, decimal, resolution, frequency)
        with tempfile.TemporaryDirectory(prefix="tymbal-") as folder:
            files = [(device, measured_file(data, folder, number, decimal))
                     for number, (device, data) in enumerate(self._by_device(measured))]
            told = self._held.compare(files, reading, _options.count(modes), flag("stress_prior", stress_prior), _options.threads(threads),
                                      progress)
        return answered(Comparison, told)

    def draw(self, out: Path | None = None) -> Drawing:
        """The map of the chip to scale: what `tymbal draw` makes. :param out: file to write as well, .svg"""
        return Drawing(_core.draw_chip(self._held, _drawings.target(out)))

    def report(self, out: Path | None = None, *, neighbours: Quantity = 1e3, record: ChipRecord | Path | None = None,
               record_chip: str = "", modes: int | None = None, model: str | None = None, accuracy: float | None = None, threads: int = 0,
               progress: Progress | None = None) -> Page:
        """One page with the map, a card for each device and the common window: what `tymbal report` makes.

        :param out: file to write as well
        :param record: adds what it knows of the chip
        :param record_chip: the chip's name there; default: the one that was drawn from a file of this name
        :raises NoAnswer: no device has an answer
        """
        file = record.path if isinstance(record, ChipRecord) else record
        known = None if file is None else (path_text("record", file), text("record_chip", record_chip) or os.path.basename(self.path))
        return Page(_core.report_chip(self._held, _options.settings(modes, model, accuracy), _drawings.target(out),
                                      quantity("neighbours", neighbours), known, _options.threads(threads), progress))

    def pattern(self, out: Path | None = None, *, format: str | None = None, witnesses: str | Sequence[str] = (), label: str = "",
                corners: int = 199, layers: Path | Mapping[str, Sequence[int]] | None = None, allow_broken: bool = False,
                progress: Progress | None = None) -> Pattern:
        """The whole chip as the mask writer gets it; options and answer as of ``Design.pattern``.

        :raises NoAnswer: figures or fronts that meet or leave the chip, widths that cannot be printed
        """
        wish = _drawings.mask_options(format, witnesses, label, corners, allow_broken)
        return _drawings.masked(_core.pattern_chip, self._held, out, wish, layers, progress)

    def _by_device(self, measured: Any) -> list[tuple[str, Any]]:
        """Pairs of device and what was measured of it; without a name: the column says it."""
        if isinstance(measured, dict) and any(isinstance(one, (str, os.PathLike, dict)) for one in measured.values()):
            return [(text("device", name), data) for name, data in measured.items()]
        return [("", measured)]

    def __reduce__(self) -> tuple[Any, ...]:
        return _again, self._arguments

    def _repr_svg_(self) -> str:
        return self.draw()

    def __repr__(self) -> str:
        return f"<Chip {self.path}: {', '.join(self.devices)}>"


def _again(path: str, most_holes: int, materials: Path | None) -> Chip:
    return Chip(path, most_holes=most_holes, materials=materials)


def read_chip(path: Path, *, most_holes: int = 200_000, materials: Path | None = None) -> Chip:
    """The chip of a file with [[device]] or [[array]].

    :param most_holes: most holes round which etch fronts are drawn
    :param materials: folder of another material table
    :raises InputError: naming chip file, device, design file, line and key
    """
    return Chip(path, most_holes=most_holes, materials=materials)
