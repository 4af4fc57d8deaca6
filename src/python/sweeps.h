// A sweep that runs beside its caller and hands over rows in their order.
#pragma once

#include <pybind11/pybind11.h>

namespace tymbal::python {

void add_sweeps(pybind11::module_& module);

}  // namespace tymbal::python
