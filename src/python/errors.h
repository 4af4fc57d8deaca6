// The library's two ways to fail, as exceptions of the Python package.
#pragma once

#include <pybind11/pybind11.h>

namespace tymbal::python {

/// InputError and NoAnswer of tymbal._errors for those of C++.
void translate_errors(pybind11::module_& module);

}  // namespace tymbal::python
