#include "arrays.h"

#include <pybind11/numpy.h>

#include <memory>

namespace tymbal::python {

namespace {

namespace py = pybind11;

using Lengths = std::vector<py::ssize_t>;

/// An array over memory that `owner` keeps; not to be written to.
py::array view(const double* first, const Lengths& shape, const Lengths& strides, const py::object& owner) {
    py::array array(py::dtype::of<double>(), shape, strides, first, owner);
    array.attr("setflags")(false);
    return array;
}

py::array raster(const std::vector<double>& values, int rows, int columns, const py::object& owner) {
    constexpr py::ssize_t size = sizeof(double);
    return view(values.data(), {rows, columns}, {columns * size, size}, owner);
}

/// Component of a list of triples, strided over it.
py::array component(const std::vector<std::array<double, 3>>& values, std::size_t which, int rows, int columns,
                    const py::object& owner) {
    constexpr py::ssize_t size = sizeof(std::array<double, 3>);
    return view(values.data()->data() + which, {rows, columns}, {columns * size, size}, owner);
}

/// Evenly spaced places, computed as the library computes them.
py::array_t<double> places(double first, double step, int count) {
    py::array_t<double> array(count);
    for (int k = 0; k < count; ++k) array.mutable_at(k) = first + k * step;
    array.attr("setflags")(false);
    return array;
}

py::object open_places(const ShapeRaster& raster) {
    if (raster.open.empty()) return py::none();
    py::array_t<bool> array({raster.rows, raster.columns});
    bool* to = array.mutable_data();
    for (std::size_t k = 0; k < raster.open.size(); ++k) to[k] = raster.open[k];
    array.attr("setflags")(false);
    return array;
}

py::dict shape(const py::object& self, std::size_t which) {
    const ShapeRaster& r = py::cast<const Fields&>(self).shapes.at(which);
    py::dict parts;
    parts["x"] = places(r.x0, r.dx, r.columns);
    parts["y"] = places(r.y0, r.dy, r.rows);
    parts["w"] = raster(r.w, r.rows, r.columns, self);
    parts["open"] = open_places(r);
    return parts;
}

py::object stress(const py::object& self) {
    const Fields& fields = py::cast<const Fields&>(self);
    if (!fields.stress) return py::none();
    const StressMap& m = *fields.stress;
    py::dict parts;
    parts["x"] = places(m.x0, m.dx, m.columns);
    parts["y"] = places(m.y0, m.dy, m.rows);
    parts["xx_pa"] = component(m.mean, 0, m.rows, m.columns, self);
    parts["yy_pa"] = component(m.mean, 1, m.rows, m.columns, self);
    parts["xy_pa"] = component(m.mean, 2, m.rows, m.columns, self);
    parts["largest_pa"] = raster(m.largest, m.rows, m.columns, self);
    parts["peak_pa"] = m.peak_pa;
    parts["peak_error_pa"] = m.peak_error_pa;
    parts["peak_m"] = py::make_tuple(m.peak.x, m.peak.y);
    return parts;
}

}  // namespace

void add_fields(py::module_& module) {
    py::class_<Fields, std::shared_ptr<Fields>>(module, "Fields")
        .def("count", [](const Fields& fields) { return fields.shapes.size(); })
        .def("shape", &shape, py::arg("which"))
        .def("stress", &stress);
}

}  // namespace tymbal::python
