#include "designs.h"

#include "values.h"

#include "tymbal/read/read_materials.h"

#include <pybind11/stl.h>

#include <string>
#include <utility>

namespace tymbal::python {

namespace {

namespace py = pybind11;

HeldDesign parsed(const std::string& text, const std::string& path, std::size_t most_holes, std::string hole_file,
                  const std::shared_ptr<MaterialTable>& materials) {
    return {parse_design(text, path), {most_holes, std::move(hole_file)}, materials};
}

HeldDesign changed(const HeldDesign& held, const py::iterable& pairs) {
    return {held.design.with(changes_from(pairs)), held.limits, held.materials};
}

HeldDesign reduced(const HeldDesign& held, const std::string& key) {
    return {held.design.without(key), held.limits, held.materials};
}

/// Value and deviation, a text, or None.
py::object value_of(const HeldDesign& held, const std::string& key) {
    if (const auto number = held.design.number(key)) return py::make_tuple(number->value, number->deviation);
    if (const auto text = held.design.text(key)) return py::str(*text);
    return py::none();
}

}  // namespace

Device HeldDesign::device(const Changes& settings) const {
    return as_released(design.with(settings), *materials, limits);
}

DeviceAt HeldDesign::devices(const Changes& settings) const {
    return devices_of(design.with(settings), *materials, limits);
}

void add_designs(py::module_& module) {
    py::class_<MaterialTable, std::shared_ptr<MaterialTable>>(module, "Materials")
        .def(py::init([](const std::string& folder) {
                 const std::string found = find_materials(folder, "");
                 return std::make_shared<MaterialTable>(MaterialTable{read_materials(found), found});
             }),
             py::arg("folder"));
    py::class_<HeldDesign>(module, "HeldDesign")
        .def(py::init(&parsed), py::arg("text"), py::arg("path"), py::arg("most_holes"), py::arg("hole_file"),
             py::arg("materials"))
        .def("changed", &changed, py::arg("pairs"))
        .def("without", &reduced, py::arg("key"))
        .def(
            "has", [](const HeldDesign& held, const std::string& key) { return held.design.has(key); }, py::arg("key"))
        .def("value", &value_of, py::arg("key"))
        .def(
            "same", [](const HeldDesign& a, const HeldDesign& b) { return a.design == b.design; }, py::arg("other"));
}

}  // namespace tymbal::python
