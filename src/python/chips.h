// Chips and their record for Python: the program's chip commands and `record`.
#pragma once

#include <pybind11/pybind11.h>

namespace tymbal::python {

void add_chips(pybind11::module_& module);
void add_record(pybind11::module_& module);

}  // namespace tymbal::python
