// Each command of the program as one function: options in, the program's own JSON out.
#pragma once

#include <pybind11/pybind11.h>

namespace tymbal::python {

void add_tasks(pybind11::module_& module);

}  // namespace tymbal::python
