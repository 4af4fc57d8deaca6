"""The record of chips: what was drawn, printed, released and measured, and what that teaches the next design."""

from __future__ import annotations

import datetime
import os
from typing import Any, Mapping

from . import _core
from ._files import Path, as_file, path_text
from ._given import text
from ._materials import table
from ._results import Learned, Result
from ._toml import design_text


class ChipRecord:
    """A record's file. It is made when the first chip is added; entries are added and never changed.

    >>> record = tymbal.ChipRecord("record.db")
    >>> record.add_chip("chip.toml", name="Skerry 12", wafer="W7")
    [1]
    >>> design.with_(record.learn().changes)
    """

    def __init__(self, path: Path) -> None:
        self.path = path_text("path", path)

    @property
    def chips(self) -> list[str]:
        """Names in the order they were added. :raises InputError: there is no such file, or it is no record"""
        return _core.record_chips(self.path)

    def add_chip(self, file: Path, *, name: str = "", wafer: str = "", date: str = "", materials: Path | None = None) -> list[int]:
        """Adds a chip file or a design, whole, with the files that it names.

        :param name: default: the chip's title, or the file's name
        :param date: when it was drawn, UTC, "2026-03-14" or "2026-03-14T09:30Z"; default: now
        :returns: numbers of the entries
        """
        return _core.record_chip(self.path, path_text("file", file), text("name", name), text("wafer", wafer), text("date", date) or _now(),
                                 table(materials))

    def add(self, step: Path | Mapping[str, Any], *, date: str = "", materials: Path | None = None) -> int:
        """Adds a step: what was done to a chip or seen on it.

        :param step: a step file, or its keys as nested dicts (``tymbal record --keys`` lists them): floats in SI units, or
            texts with a unit; files are named from the working folder
        :param date: moment of a step that names none; default: now
        :returns: the entry's number
        """
        moment = text("date", date) or _now()
        if not isinstance(step, Mapping):
            return _core.record_step(self.path, path_text("step", step), moment, table(materials))
        keys = dict(step)
        files = keys.get("files", [])
        keys["files"] = [os.path.abspath(path_text("files", file)) for file in ([files] if isinstance(files, (str, os.PathLike)) else files)]
        with as_file("step", design_text(keys)) as path:
            return _core.record_step(self.path, path, moment, table(materials))

    def show(self, chip: str = "") -> Result:
        """One page of a chip: drawn, printed, released, measured. :param chip: default: the one added last"""
        return Result(*_core.record_show(self.path, text("chip", chip) or self.chips[-1]))

    def list(self) -> Result:
        """Chips with all their entries."""
        return Result(*_core.record_list(self.path))

    def check(self) -> Result:
        """What is lost, changed or missing."""
        return Result(*_core.record_check(self.path))

    def export(self, folder: Path) -> None:
        """Writes chips, devices and entries as CSV and each kept file under its hash into a folder, which is made where it is not there."""
        _core.record_export(self.path, path_text("folder", folder))

    def learn(self, *, wafer: str = "", bath: str = "") -> Learned:
        """Biases, rates and film, with what they scatter from chip to chip.

        :param wafer: of the next chip; ``bath`` likewise
        :returns: ``design.with_(learned.changes)`` is the next design with what was learned in it
        :raises NoAnswer: the record teaches nothing yet
        """
        found = Learned(*_core.record_learn(self.path, text("wafer", wafer), text("bath", bath)))
        found.warn()
        return found

    def __repr__(self) -> str:
        return f"<ChipRecord {self.path}>"


def _now() -> str:
    return datetime.datetime.now(datetime.timezone.utc).strftime("%Y-%m-%dT%H:%M:%SZ")
