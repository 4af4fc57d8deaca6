#include "designs.h"

#include "values.h"

#include "tymbal/files/read_materials.h"

namespace tymbal::python {

namespace {

namespace py = pybind11;

WrittenDesign changed(const WrittenDesign& design, const py::iterable& pairs) {
    WrittenDesign other = design;
    const Changes more = changes_from(pairs);
    other.changes.insert(other.changes.end(), more.begin(), more.end());
    return other;
}

}  // namespace

DesignAt WrittenDesign::varied() const {
    return [design = *this](const Changes& more) {
        Changes all = design.changes;
        all.insert(all.end(), more.begin(), more.end());
        return parse_design(design.text, design.path, *design.materials, all, design.limits);
    };
}

void add_designs(py::module_& module) {
    py::class_<Materials, std::shared_ptr<Materials>>(module, "Materials")
        .def(py::init([](const std::string& folder) {
                 return std::make_shared<Materials>(read_materials(find_materials(folder, "")));
             }),
             py::arg("folder"));
    py::class_<WrittenDesign>(module, "WrittenDesign")
        .def(py::init([](std::string text, std::string path, std::size_t most_holes, std::string hole_file,
                         std::shared_ptr<Materials> materials) {
                 return WrittenDesign{std::move(text), std::move(path), {}, {most_holes, std::move(hole_file)}, std::move(materials)};
             }),
             py::arg("text"), py::arg("path"), py::arg("most_holes"), py::arg("hole_file"), py::arg("materials"))
        .def("changed", &changed, py::arg("pairs"));
}

}  // namespace tymbal::python
