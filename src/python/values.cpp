#include "values.h"

#include "tymbal/base/error.h"
#include "tymbal/files/design_keys.h"

#include <cmath>

namespace tymbal::python {

namespace {

bool is_text(const py::handle& value) {
    return py::isinstance<py::str>(value);
}

/// A number of any kind that Python has, numpy's too; True and False are none.
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

bool is_list(const py::handle& value) {
    return py::isinstance<py::sequence>(value) || py::hasattr(value, "tolist");
}

std::array<double, 2> pair_from(const py::sequence& list, const std::string& key) {
    if (py::len(list) != 2) throw InputError({}, key, "takes two lengths, or points of two lengths each");
    const double first = si_from(list[0], Kind::length, key);
    const double second = si_from(list[1], Kind::length, key);
    return {first, second};
}

bool holds_lists(const py::sequence& list) {
    return py::len(list) > 0 && !is_text(list[0]) && is_list(list[0]);
}

Change change_from(const std::string& key, const py::handle& value) {
    if (is_text(value)) return {key, py::cast<std::string>(value)};
    // A number of numpy has tolist, too, but no length.
    if (!is_list(value) || !py::hasattr(value, "__len__") || PyObject_Size(value.ptr()) < 0) {
        PyErr_Clear();
        return {key, number_from(value, key)};
    }
    const py::sequence list = py::list(py::reinterpret_borrow<py::object>(value));
    if (!holds_lists(list)) return {key, pair_from(list, key)};
    std::vector<Point> points;
    for (const py::handle& one : list) {
        const auto [x, y] = pair_from(py::list(py::reinterpret_borrow<py::object>(one)), key);
        points.push_back({x, y});
    }
    return {key, points};
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
        return parse_quantity(py::cast<std::string>(value), kind).value;
    } catch (const UnitError& e) {
        throw InputError({}, option, e.what());
    }
}

py::list key_table() {
    py::list all;
    for (const DesignKey& key : design_keys())
        all.append(py::make_tuple(key.section, key.name,
                                  key.kind ? py::object(py::str(si_unit(*key.kind))) : py::none(), key.meaning));
    return all;
}

}  // namespace tymbal::python
