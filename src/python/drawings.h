// The picture, the page and the mask of a design or chip: what the program's draw, report and pattern write.
#pragma once

#include <pybind11/pybind11.h>

namespace tymbal::python {

void add_drawings(pybind11::module_& module);

}  // namespace tymbal::python
