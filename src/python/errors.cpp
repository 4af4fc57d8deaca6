#include "errors.h"

#include "tymbal/base/error.h"

#include <cstring>

namespace tymbal::python {

namespace {

namespace py = pybind11;

void raise(const char* name, const py::tuple& arguments) {
    const py::object type = py::module_::import("tymbal._errors").attr(name);
    PyErr_SetObject(type.ptr(), type(*arguments).ptr());
}

py::str text(const char* what) {
    return py::reinterpret_steal<py::str>(
        PyUnicode_DecodeUTF8(what, static_cast<Py_ssize_t>(std::strlen(what)), "replace"));
}

}  // namespace

void translate_errors(py::module_&) {
    py::register_local_exception_translator(
        [](std::exception_ptr fault) {  // NOLINT(performance-unnecessary-value-param): the signature that is asked for
            try {
                if (fault) std::rethrow_exception(fault);
            } catch (const InputError& e) {
                raise("InputError", py::make_tuple(text(e.what()), text(e.place().file.c_str()), e.place().line,
                                                   text(e.key().c_str())));
            } catch (const NoAnswer& e) {
                raise("NoAnswer", py::make_tuple(text(e.what())));
            }
        });
}

}  // namespace tymbal::python
