#include "values.h"

#include "tymbal/base/error.h"
#include "tymbal/read/design_keys.h"

#include <cmath>

namespace tymbal::python {

namespace {

bool is_text(const py::handle& value) {
    return py::isinstance<py::str>(value);
}

/// A number of any kind that Python has; True and False are none.
double number_from(const py::handle& value, const std::string& key) {
    double number = is_text(value) || PyBool_Check(value.ptr()) ? std::nan("") : PyFloat_AsDouble(value.ptr());
    if (PyErr_Occurred() != nullptr) {
        PyErr_Clear();
        number = std::nan("");
    }
    if (!std::isfinite(number))
        throw InputError({}, key,
                         "is " + py::cast<std::string>(py::repr(value)) +
                             "; accepted: a finite number in SI units, or a text as a design file has it");
    return number;
}

Change change_from(const std::string& key, const py::handle& value) {
    if (is_text(value)) return {key, py::cast<std::string>(value)};
    return {key, number_from(value, key)};
}

}  // namespace

Changes changes_from(const py::iterable& pairs) {
    Changes changes;
    for (const py::handle& pair : pairs) {
        const auto both = py::cast<py::tuple>(pair);
        const auto key = py::cast<std::string>(both[0]);
        changes.push_back(change_from(key, both[1]));
    }
    return changes;
}

double si_from(const py::handle& value, Kind kind, const std::string& option) {
    if (!is_text(value)) return number_from(value, option);
    try {
        const ParsedQuantity parsed = parse_quantity(py::cast<std::string>(value), kind);
        if (parsed.has_deviation)
            throw InputError({}, option, "takes no deviation here; accepted: a number and a unit");
        return parsed.value;
    } catch (const UnitError& e) {
        throw InputError({}, option, e.what());
    }
}

double positive_or_none(const py::object& value, Kind kind, const char* option) {
    if (value.is_none()) return 0.0;
    const double si = si_from(value, kind, option);
    if (!(si > 0.0)) throw InputError({}, option, "must be above zero");
    return si;
}

py::list key_table() {
    py::list all;
    for (const DesignKey& key : design_keys())
        all.append(py::make_tuple(key.section, key.name,
                                  key.kind ? py::object(py::str(si_unit(*key.kind))) : py::none(),
                                  *key.example == '['));
    return all;
}

}  // namespace tymbal::python
