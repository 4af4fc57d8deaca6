#include "chips.h"
#include "material_table.h"
#include "told.h"

#include "tymbal/base/error.h"
#include "tymbal/print/write_record.h"
#include "tymbal/read/read_step.h"
#include "tymbal/read/record_chip.h"
#include "tymbal/record/utc.h"
#include "tymbal/text/version.h"

#include <pybind11/stl.h>

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

namespace tymbal::python {

namespace {

namespace py = pybind11;

/// The page of JSON and the table, made without the interpreter's lock.
template <class WriteJson, class WriteTable, class Read>
py::tuple read_and_told(Read read, WriteJson json, WriteTable table) {
    Texts texts;
    {
        const py::gil_scoped_release free;
        const auto found = read();
        texts = {written([&](std::ostream& out) { json(out, found); }),
                 written([&](std::ostream& out) { table(out, found); })};
    }
    return as_tuple(texts);
}

/// @throws InputError for a text that is no moment
RecordWriter writer_at(const std::string& moment) {
    const auto date = utc_text(moment);
    if (!date)
        throw InputError({}, "date", "is '" + moment + "'; accepted: \"2026-03-14\" or \"2026-03-14T09:30Z\", UTC");
    return {*date, std::string("tymbal ") + version};
}

std::vector<std::string> chips_of(const std::string& path) {
    const py::gil_scoped_release free;
    std::vector<std::string> names;
    for (const RecordedChip& chip : read_chips(path)) names.push_back(chip.name);
    return names;
}

py::tuple show(const std::string& path, const std::string& chip) {
    std::string name;
    return read_and_told(
        [&] {
            name = chip_named(chip, read_chips(path), path);
            return read_record(path, name);
        },
        [&](std::ostream& out, const RecordContents& record) { write_chip_json(out, record, name); },
        [&](std::ostream& out, const RecordContents& record) { write_chip_page(out, record, name); });
}

py::tuple list(const std::string& path) {
    return read_and_told([&] { return read_record(path); }, write_list_json, write_chip_list);
}

py::tuple check(const std::string& path) {
    using Found = std::vector<RecordFinding>;
    return read_and_told([&] { return check_record(path); },
                         [&](std::ostream& out, const Found& found) { write_check_json(out, path, found); },
                         [&](std::ostream& out, const Found& found) { write_check(out, path, found); });
}

void export_to(const std::string& path, const std::string& folder) {
    const py::gil_scoped_release free;
    export_record(folder, read_record(path), kept_files(path));
}

py::tuple learned(const std::string& path, const std::string& wafer, const std::string& bath) {
    return read_and_told(
        [&] {
            return learn(corrected(read_record(path).entries), {wafer, bath});
        },
        write_learning_json, write_learning);
}

// NOLINTNEXTLINE(readability-function-size): one parameter for each of the Python function
std::vector<std::int64_t> add_chip(const std::string& path, const std::string& file, const std::string& name,
                                   const std::string& wafer, const std::string& moment,
                                   const std::shared_ptr<MaterialTable>& materials) {
    const py::gil_scoped_release free;
    const RecordWriter writer = writer_at(moment);
    return add_to_record(path, chip_addition({file, name, wafer}, writer.now, *materials), writer).numbers;
}

std::int64_t add_step(const std::string& path, const std::string& step, const std::string& moment,
                      const std::shared_ptr<MaterialTable>& materials) {
    const py::gil_scoped_release free;
    return add_step(step, path, writer_at(moment), *materials).numbers.front();
}

}  // namespace

void add_record(py::module_& module) {
    module.def("record_chips", &chips_of, py::arg("path"));
    module.def("record_show", &show, py::arg("path"), py::arg("chip"));
    module.def("record_list", &list, py::arg("path"));
    module.def("record_check", &check, py::arg("path"));
    module.def("record_export", &export_to, py::arg("path"), py::arg("folder"));
    module.def("record_learn", &learned, py::arg("path"), py::arg("wafer"), py::arg("bath"));
    module.def("record_step", &add_step, py::arg("path"), py::arg("step"), py::arg("moment"), py::arg("materials"));
    module.def("record_chip", &add_chip, py::arg("path"), py::arg("file"), py::arg("name"), py::arg("wafer"),
               py::arg("moment"), py::arg("materials"));
}

}  // namespace tymbal::python
