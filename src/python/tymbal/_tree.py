"""JSON as objects: names are attributes, null is None, numbers are what the text says, bit for bit."""

from __future__ import annotations

import difflib
import json
from typing import Any, Iterator


class Record:
    """An object of a result. ``r.film.mass_kg`` or ``r["film"]``; iterating gives the names, ``vars(r)`` a dict."""

    def __init__(self, fields: dict[str, Any]) -> None:
        self.__dict__.update(locked(fields))

    def __setattr__(self, name: str, value: Any) -> None:
        raise AttributeError(f"results are not changed: {name}")

    def __delattr__(self, name: str) -> None:
        raise AttributeError(f"results are not changed: {name}")

    def __getattr__(self, name: str) -> Any:
        near = difflib.get_close_matches(name, list(self), 1)
        raise AttributeError(f"no '{name}' here" + (f"; did you mean '{near[0]}'?" if near else ""))

    def __getitem__(self, name: str) -> Any:
        try:
            return self.__dict__[name]
        except KeyError:
            raise KeyError(name) from None

    def __contains__(self, name: object) -> bool:
        return name in self.__dict__ and not str(name).startswith("_")

    def __iter__(self) -> Iterator[str]:
        return (name for name in self.__dict__ if not name.startswith("_"))

    def keys(self) -> Iterator[str]:
        """So that ``dict(r)`` is a dict."""
        return iter(self)

    def __len__(self) -> int:
        return sum(1 for _ in self)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Record) and same_values({n: self[n] for n in self}, {n: other[n] for n in other})

    __hash__ = None  # type: ignore[assignment]

    def __repr__(self) -> str:
        return "Record(" + ", ".join(f"{name}={_short(self[name])}" for name in self) + ")"

    def __setstate__(self, state: dict[str, Any]) -> None:
        self.__dict__.update(locked(state))


def locked(parts: dict[str, Any]) -> dict[str, Any]:
    """Arrays by name, not to be written to, which a pickle forgets."""
    for part in parts.values():
        if hasattr(part, "setflags"):
            part.setflags(write=False)
    return parts


def same_values(these: dict[str, Any], those: dict[str, Any]) -> bool:
    """Arrays among them too."""
    return these.keys() == those.keys() and all(_same(value, those[name]) for name, value in these.items())


def _same(a: Any, b: Any) -> bool:
    if not hasattr(a, "dtype") and not hasattr(b, "dtype"):
        return bool(a == b)
    import numpy as np

    return np.array_equal(a, b, equal_nan=True)


def _short(value: Any) -> str:
    if isinstance(value, Record):
        return "{...}"
    if isinstance(value, list) and len(value) > 3:
        return f"[{len(value)} entries]"
    return repr(value)


def fields_of(text: str) -> dict[str, Any]:
    """The root's fields, objects below it as Records."""
    root = json.loads(text, object_hook=Record)
    return dict(vars(root))
