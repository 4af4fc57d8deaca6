"""A chip of many devices: one etch, one drawing."""

from __future__ import annotations

import os
from typing import Any

from . import _core
from ._design import Design, Path, Quantity, _settings, _threads, _told
from ._given import between, quantity, whole
from ._materials import table
from ._results import ChipPlan, ChipPrediction, ChipRelease
from ._sweep import Progress


class Chip:
    """The devices of a chip file. The file is read again by each task, so that it must stay where it is."""

    def __init__(self, path: Path, *, most_holes: int = 200_000, materials: Path | None = None) -> None:
        holes = whole("most_holes", most_holes, 1, 1_000_000)
        self._arguments = (os.fspath(path), holes, materials)
        self._held = _core.HeldChip(os.fspath(path), holes, table(materials))

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
        return _told(ChipPrediction, self._held.predict(_settings(modes, model, accuracy), quantity("neighbours", neighbours),
                                                        _threads(threads), progress))

    def release(self, *, threads: int = 0, progress: Progress | None = None) -> ChipRelease:
        """One bath for all devices: when the last is clear, when the first limit breaks.

        :returns: ``window_opens_s`` and ``window_closes_s``, None where nothing sets them
        :raises NoAnswer: a device has no [release]
        """
        return _told(ChipRelease, self._held.release(_threads(threads), progress))

    def plan(self, *, allowed_shift: float = 1e-4, gas_share: float = 0.1, modes: int | None = None, model: str | None = None,
             accuracy: float | None = None, threads: int = 0, progress: Progress | None = None) -> ChipPlan:
        """A measurement plan a device.

        :param allowed_shift: relative shift by the light's heat that is accepted
        :param gas_share: part of the loss that gas may make
        """
        between("allowed_shift", allowed_shift, 1e-9, 0.1)
        between("gas_share", gas_share, 1e-6, 0.9)
        return _told(ChipPlan, self._held.plan(_settings(modes, model, accuracy), allowed_shift, gas_share, _threads(threads),
                                               progress))

    def __reduce__(self) -> tuple[Any, ...]:
        return _again, self._arguments

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
