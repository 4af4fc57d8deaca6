"""What callers give, checked once and as plain Python: numpy's values become Python's, lists tuples of their own."""

from __future__ import annotations

import math
import numbers
from typing import Any, Iterable, Mapping

from ._errors import InputError
from ._tree import Record


def plain(name: str, value: Any) -> Any:
    """:raises InputError: for a text that is no Unicode"""
    if hasattr(value, "tolist"):  # of numpy and its kin, single values too
        value = value.tolist()
    if isinstance(value, (list, tuple)):
        return tuple(plain(name, one) for one in value)
    return text(name, value) if isinstance(value, str) else value


def text(name: str, value: Any) -> str:
    if not isinstance(value, str):
        raise InputError(f"{name}: is {value!r}; accepted: a text", key=name)
    try:
        value.encode()
    except UnicodeEncodeError:
        raise InputError(f"{name}: is {value!a}, which is no Unicode text", key=name) from None
    return value


def between(name: str, value: Any, low: float, high: float) -> float:
    """:raises InputError: for what is no number from low to high, nan too"""
    value = plain(name, value)
    number = math.nan
    if isinstance(value, numbers.Real) and not isinstance(value, bool):
        try:
            number = float(value)
        except OverflowError:
            pass
    if not low <= number <= high:
        raise InputError(f"{name}: must be a number from {low:g} to {high:g}, and is {value!r}", key=name)
    return number


def whole(name: str, value: Any, low: int, high: int) -> int:
    number = between(name, value, low, high)
    if not number.is_integer():
        raise InputError(f"{name}: must be a whole number from {low} to {high}, and is {value!r}", key=name)
    return int(number)


def flag(name: str, value: Any) -> bool:
    value = plain(name, value)
    if not isinstance(value, bool):
        raise InputError(f"{name}: is {value!r}; accepted: True or False", key=name)
    return value


def quantity(name: str, value: Any) -> Any:
    """None, a number in SI units, or a text with a unit."""
    value = plain(name, value)
    if value is None or isinstance(value, str):
        return value
    if isinstance(value, bool) or not isinstance(value, numbers.Real) or not math.isfinite(value):
        raise InputError(f"{name}: is {value!r}; accepted: a finite number in SI units, or a text with a unit", key=name)
    return float(value)


def texts(name: str, value: str | Iterable[str]) -> list[str]:
    """One text, or several."""
    if isinstance(value, str):
        return [text(name, value)]
    try:
        return [text(name, one) for one in value]
    except TypeError:
        raise InputError(f"{name}: is {value!r}; accepted: a text or several", key=name) from None


def pairs_of(name: str, value: Any) -> list[tuple[str, Any]]:
    if not isinstance(value, (Mapping, Record)):
        raise InputError(f"{name}: is {value!r}; accepted: a dict", key=name)
    return [(text("key", key), value[key]) for key in value]
