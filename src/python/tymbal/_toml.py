"""A design as nested dicts, written as the text that a design file would have."""

from __future__ import annotations

import json
import re
from typing import Any, Mapping

from . import _core
from ._errors import InputError
from ._given import pairs_of, plain, text

# Of each key the SI unit, None for what is no quantity, and whether it holds a list.
_keys: dict[str, tuple[str | None, bool]] = {
    (f"{section}." if section else "") + name: (unit, lists) for section, name, unit, lists in _core.key_table()
}


def design_text(sections: Mapping[str, Any]) -> str:
    """TOML of sections; a float for a key with a unit is in SI, texts stand as a design file has them."""
    heads, tables = [], []
    for name, value in pairs_of("sections", sections):
        if isinstance(value, Mapping):
            tables.append(f"[{_key(name)}]\n" + _lines(name, value))
        elif _is_list_of_tables(value):
            tables += [f"[[{_key(name)}]]\n" + _lines(name, one) for one in value]
        else:
            heads.append(f"{_key(name)} = {_value(name, value)}\n")
    return "".join(heads) + "\n".join([""] + tables)


def _is_list_of_tables(value: Any) -> bool:
    return isinstance(value, (list, tuple)) and len(value) > 0 and all(isinstance(one, Mapping) for one in value)


def _lines(section: str, keys: Mapping[str, Any]) -> str:
    return "".join(f"{_key(name)} = {_value(f'{section}.{name}', value)}\n" for name, value in keys.items())


def _key(name: str) -> str:
    return name if re.fullmatch("[A-Za-z0-9_-]+", text("key", name)) else _quoted("key", name)


def _quoted(full: str, value: str) -> str:
    return json.dumps(text(full, value), ensure_ascii=False).replace("\x7f", "\\u007f")


def _value(full: str, given: Any) -> str:
    value = plain(full, given)
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return _quoted(full, value)
    if isinstance(value, tuple):  # of a line a design file has 16 KiB at most
        return "[" + (",\n" if len(value) > 2 else ", ").join(_value(full, one) for one in value) + "]"
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{_key(k)} = {_value(f'{full}.{k}', v)}" for k, v in value.items()) + " }"
    if isinstance(value, (int, float)):
        return _number(full, value)
    raise InputError(f"{full}: is {value!r}; accepted: texts, numbers, lists of them and sections", key=full)


def change_text(full: str, value: Any) -> Any:
    """A change as the library takes it: a list as a design file has it, all else as it is."""
    if not isinstance(value, tuple):
        return value
    if not _row(full)[1]:
        raise InputError(f"{full}: is a list where one value is wanted", key=full)
    return _value(full, value)


def quantity_text(full: str, value: float, deviation: float) -> str:
    """What a design file has for a key's value in SI units, digits and all. :param deviation: 0 where none is known"""
    unit, _ = _row(full)
    return f"{value!r}" + (f" +- {deviation!r}" if deviation else "") + (f" {unit}" if unit else "")


def unit_of(full: str) -> str:
    """The SI unit of a key, empty where it has none."""
    return _row(full)[0] or ""


def _row(full: str) -> tuple[str | None, bool]:
    # What [free] of a design and [values] of a step hold are values of the key they name; sections that are lists are counted.
    # The library knows what to say of a key that is none.
    return _keys.get(re.sub(r"\.\d+\.", ".", full.removeprefix("free.").removeprefix("values.")), (None, True))


def _number(full: str, value: float) -> str:
    unit, _ = _row(full)
    if unit:
        return json.dumps(f"{float(value)!r} {unit}")
    return repr(value)
