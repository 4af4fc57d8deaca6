// The extension behind the Python package: designs, tasks, fields.
#include "arrays.h"
#include "chips.h"
#include "designs.h"
#include "drawings.h"
#include "errors.h"
#include "sweeps.h"
#include "tasks.h"
#include "values.h"

#include "../page/colour_ramp.h"
#include "../page/style.h"

#include "tymbal/read/design.h"
#include "tymbal/text/version.h"
#include "tymbal/text/whole_file.h"

#include <string>
#include <string_view>

namespace {

static_assert(std::string_view(TYMBAL_PYTHON_VERSION) == tymbal::version,
              "the headers are those of another version than this module");

/// The bytes of a design file that can be read at all.
std::string text_of_design(const std::string& path) {
    (void)tymbal::read_design(path);
    return tymbal::read_whole(path);
}

/// Colours of the report from least to largest, as #rrggbb.
pybind11::list ramp(bool diverging, int steps) {
    const auto colours = diverging ? tymbal::diverging_ramp(steps, tymbal::Page::light)
                                   : tymbal::sequential_ramp(steps, tymbal::Page::light);
    pybind11::list all;
    for (const tymbal::Rgb& colour : colours) all.append(tymbal::hex(colour));
    return all;
}

}  // namespace

PYBIND11_MODULE(_core, module) {
    module.attr("version") = tymbal::version;
    module.attr("report_css") = std::string(tymbal::report_css);
    module.def("read_text", &text_of_design, pybind11::arg("path"));
    module.def("ramp", &ramp, pybind11::arg("diverging"), pybind11::arg("steps"));
    module.def("key_table", &tymbal::python::key_table);
    tymbal::python::translate_errors(module);
    tymbal::python::add_designs(module);
    tymbal::python::add_fields(module);
    tymbal::python::add_tasks(module);
    tymbal::python::add_sweeps(module);
    tymbal::python::add_chips(module);
    tymbal::python::add_drawings(module);
    tymbal::python::add_record(module);
}
