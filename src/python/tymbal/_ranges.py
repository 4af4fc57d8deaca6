"""Options that are plain numbers, with the ranges that the program's have."""

from __future__ import annotations

from typing import TypeVar

from ._errors import InputError

Number = TypeVar("Number", int, float)


def between(name: str, value: Number, low: float, high: float) -> Number:
    """:raises InputError: for what is no number from low to high, nan too"""
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not low <= value <= high:
        raise InputError(f"{name}: must be a number from {low:g} to {high:g}, and is {value!r}", key=name)
    return value
