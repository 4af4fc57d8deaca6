"""Figures as people read them: four digits and the prefix that suits."""

from __future__ import annotations

import math

_prefixes = {-18: "a", -15: "f", -12: "p", -9: "n", -6: "µ", -3: "m", 0: "", 3: "k", 6: "M", 9: "G", 12: "T"}

# What choose seeks, by the word of target.aim: heading, name in the JSON and unit.
aims = {"qf": ("Q f", "qf_hz", "Hz"), "g0": ("g0/2π", "single_photon_coupling_hz", "Hz"),
        "cooperativity": ("C0", "single_photon_cooperativity", "")}


def shown(value: float | None, unit: str = "", digits: int = 4) -> str:
    """``1.234e6, "Hz"`` is "1.234 MHz"; None is a dash."""
    if value is None:
        return "–"
    if not unit or value == 0.0 or not math.isfinite(value):
        return f"{value:.{digits}g}" + (f" {unit}" if unit else "")
    power = 3 * math.floor(math.log10(abs(value)) / 3)
    power = min(max(power, min(_prefixes)), max(_prefixes))
    return f"{value / 10.0**power:.{digits}g} {_prefixes[power]}{unit}"


def with_deviation(value: float | None, deviation: float | None, unit: str) -> str:
    """Value and one standard deviation with one prefix; the value alone where none was stated."""
    if value is None or not deviation:
        return shown(value, unit)
    power = 3 * math.floor(math.log10(abs(value)) / 3) if value else 0
    power = min(max(power, min(_prefixes)), max(_prefixes))
    scale = 10.0**power
    decimals = max(0, 1 - math.floor(math.log10(abs(deviation) / scale)))
    return f"{value / scale:.{decimals}f} ± {deviation / scale:.{decimals}f} {_prefixes[power]}{unit}"
