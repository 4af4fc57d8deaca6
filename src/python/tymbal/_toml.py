"""A design as nested dicts, written as the text that a design file would have."""

from __future__ import annotations

import json
from typing import Any, Mapping

from . import _core
from ._errors import InputError

# SI unit of each key that holds a quantity.
_units: dict[str, str | None] = {
    (f"{section}." if section else "") + name: unit for section, name, unit, _ in _core.key_table()
}


def design_text(sections: Mapping[str, Any]) -> str:
    """TOML of sections; a float for a key with a unit is in SI, texts stand as a design file has them."""
    heads, tables = [], []
    for name, value in sections.items():
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
    return name if name.replace("_", "").replace("-", "").isalnum() and name.isascii() else json.dumps(name)


def _value(full: str, value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return json.dumps(value)
    if hasattr(value, "tolist"):  # of numpy
        value = value.tolist()
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(_value(full, one) for one in value) + "]"
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{_key(k)} = {_value(f'{full}.{k}', v)}" for k, v in value.items()) + " }"
    if isinstance(value, (int, float)):
        return _number(full, value)
    raise InputError(f"{full}: is {value!r}; accepted: texts, numbers, lists of them and sections", key=full)


def quantity_text(full: str, value: float, deviation: float) -> str:
    """What a design file has for a key's value in SI units, digits and all."""
    unit = _units.get(full)
    return f"{value!r} +- {deviation!r}" + (f" {unit}" if unit else "")


def _number(full: str, value: float) -> str:
    # What [free] of a design and [values] of a step hold are values of the key they name.
    unit = _units.get(full.removeprefix("free.").removeprefix("values."))
    if unit:
        return json.dumps(f"{float(value)!r} {unit}")
    return repr(value)
