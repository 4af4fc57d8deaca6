"""Pictures, pages and masks: what the program's draw, report and pattern write, byte for byte."""

from __future__ import annotations

import html
import os
from typing import Any, Iterable, Mapping

from ._errors import InputError, NoAnswer
from ._files import Path, as_file, path_text
from ._given import flag, text, texts, whole
from ._results import Result, SweepTable
from ._sweep import Progress, Sweep
from ._toml import design_text

formats = ("gds", "svg", "csv")


class Drawing(str):
    """SVG of a design or chip, which a notebook shows. It is the text itself; ``open(..., "w").write(drawing)`` keeps it."""

    def _repr_svg_(self) -> str:
        return str(self)

    def __repr__(self) -> str:
        return f"<Drawing: SVG of {len(self)} characters>"


class Page(str):
    """A report: HTML that asks nothing of any other file or machine. A notebook shows it in a frame."""

    def _repr_html_(self) -> str:
        return f"<iframe srcdoc='{html.escape(self)}' style='width:100%;height:40rem;border:0' sandbox='allow-scripts'></iframe>"

    def __repr__(self) -> str:
        return f"<Page: HTML of {len(self)} characters>"


class Pattern(Result):
    """What ``pattern`` drew for the mask writer: sizes and checks, and the bytes of its file as ``drawing``."""

    def __init__(self, json: str, table: str, drawing: bytes) -> None:
        super().__init__(json, table, _drawing=drawing)

    @property
    def drawing(self) -> bytes:
        """The file's bytes, in the format that was asked for."""
        return bytes(self.__dict__["_drawing"])

    def __reduce__(self) -> tuple[Any, ...]:
        return type(self), (self.json, str(self), self.drawing)


def target(out: Path | None) -> str:
    """The file to write; empty: none. "-" is none: what a method returns is the text already."""
    path = "" if out is None else path_text("out", out)
    if out is not None and path in ("", "-"):
        raise InputError(f"out: is '{path}'; accepted: the path of a file to write, or None", key="out")
    return path


def sweep_text(sweep: Path | Sweep | SweepTable | None) -> tuple[str, str] | None:
    """The table's text, and the name that it goes by."""
    if sweep is None:
        return None
    if isinstance(sweep, (Sweep, SweepTable)):
        return (sweep.table() if isinstance(sweep, Sweep) else sweep).csv, "sweep"
    path = path_text("sweep", sweep)
    try:
        with open(path, encoding="utf-8", newline="") as file:
            return file.read(), path
    except (OSError, UnicodeDecodeError):
        raise InputError(f"{path}: cannot be read; give the path of a readable file", file=path) from None


def masked(draw: Any, held: Any, out: Path | None, options: Mapping[str, Any], layers: Any, progress: Progress | None) -> Pattern:
    """The pattern of a design or chip. :param draw: of _core, for what ``held`` is"""
    path = target(out)
    wish = {**options, "out": path, "format": _format(path, options["format"])}
    if isinstance(layers, Mapping):
        with as_file("layers", design_text(layers)) as file:
            json, page, drawing, refused = draw(held, {**wish, "layers": file}, progress)
    else:
        file = "" if layers is None else path_text("layers", layers)
        json, page, drawing, refused = draw(held, {**wish, "layers": file}, progress)
    found = Pattern(json, page, drawing)
    if refused:
        raise NoAnswer(refused, found)
    found.warn()
    return found


def mask_options(format: str | None, witnesses: str | Iterable[str], label: str, corners: int, allow_broken: bool) -> dict[str, Any]:
    """Checked, as _core takes them."""
    if len(text("label", label)) > 60:
        raise InputError("label: is longer than 60 characters", key="label")
    return {"format": format, "witnesses": texts("witnesses", witnesses), "label": label,
            "corners": whole("corners", corners, 8, 8190), "allow_broken": flag("allow_broken", allow_broken)}


def _format(path: str, wanted: str | None) -> str:
    """By the name of the file, or as asked for; GDSII without either."""
    ending = os.path.splitext(path)[1][1:] or None
    found = ending if path else wanted or "gds"
    if found not in formats or wanted not in (None, found):
        raise InputError(f"format: is {wanted or ending!r}; accepted: {', '.join(formats)}, that of the file where one is named",
                         key="format")
    return str(found)
