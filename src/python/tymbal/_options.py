"""Options that several commands share, checked, as _core takes them."""

from __future__ import annotations

from typing import Any, Mapping, Union

from ._given import between, pairs_of, quantity, text, whole

Quantity = Union[float, str]


def settings(modes: int | None, model: str | None, accuracy: float | None) -> list[tuple[str, Any]]:
    """The program's options of the same names."""
    wanted = {"solve.modes": None if modes is None else whole("modes", modes, 1, 200),
              "solve.accuracy": None if accuracy is None else between("accuracy", accuracy, 1e-6, 0.1),
              "solve.model": None if model is None else text("model", model)}
    return [(key, value) for key, value in wanted.items() if value is not None]


def memory(gibibytes: float) -> float:
    return between("memory_limit", gibibytes, 0.0, 1e6) * 1024.0**3


def reading(kind: str | None, signal: str | None, width: str | None, decimal: str | None, resolution: Quantity | None,
            frequency: Quantity | None) -> dict[str, Any]:
    """What a measured file does not say by itself."""
    words = {"kind": kind, "signal": signal, "width": width, "decimal": decimal}
    return {**{name: None if word is None else text(name, word) for name, word in words.items()},
            "resolution": quantity("resolution", resolution), "frequency": quantity("frequency", frequency)}


def count(modes: int | None) -> int | None:
    return None if modes is None else whole("modes", modes, 3, 200)


def threads(count: int) -> int:
    return whole("threads", count, 0, 4096)


def qualities(measured: Mapping[str, float] | None) -> list[tuple[str, float]]:
    pairs = [] if measured is None else pairs_of("measured_q", measured)
    return [(label, between("measured_q", value, 1.0, 1e300)) for label, value in pairs]


def mode_text(mode: str | int) -> str:
    """A label, or a number by rising frequency."""
    return text("mode", mode) if isinstance(mode, str) else str(whole("mode", mode, 1, 200))
