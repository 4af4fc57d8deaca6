// What callers in Python give: changes of a design, quantities as floats in SI units or as texts with a unit.
#pragma once

#include "tymbal/base/parse_quantity.h"
#include "tymbal/task/variation.h"

#include <pybind11/pybind11.h>

#include <string>

namespace tymbal::python {

namespace py = pybind11;

/// From pairs (key, value): a number in SI units, or a text as a design file has it.
/// @throws InputError naming the key for anything else
[[nodiscard]] Changes changes_from(const py::iterable& pairs);

/// A number in SI units, or a text with a unit. @throws InputError naming `option`
[[nodiscard]] double si_from(const py::handle& value, Kind kind, const std::string& option);

/// An option that is None (0 then), or a quantity above zero. @throws InputError naming it
[[nodiscard]] double positive_or_none(const py::object& value, Kind kind, const char* option);

/// The design keys as tuples (section, name, SI unit or None for what is no quantity, whether it holds a list).
[[nodiscard]] py::list key_table();

}  // namespace tymbal::python
