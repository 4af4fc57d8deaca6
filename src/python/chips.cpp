#include "chips.h"

#include "designs.h"
#include "reading.h"
#include "told.h"
#include "values.h"
#include "watched.h"

#include "tymbal/base/error.h"
#include "tymbal/print/write_chip.h"
#include "tymbal/print/write_compare.h"
#include "tymbal/task/chip_plan.h"
#include "tymbal/task/compare_chip.h"
#include "tymbal/task/predict_chip.h"
#include "tymbal/task/release_chip.h"

#include <pybind11/stl.h>

#include <algorithm>
#include <memory>
#include <optional>
#include <string>
#include <thread>
#include <utility>
#include <vector>

namespace tymbal::python {

namespace {

HeldChip opened(const std::string& path, std::size_t most_holes, const std::shared_ptr<MaterialTable>& materials) {
    HeldChip held{path, {most_holes, ""}, materials, "", {}};
    const py::gil_scoped_release free;
    const ChipDesign chip = held.read({});
    held.title = chip.title;
    for (const ChipDevice& device : chip.devices) held.devices.push_back(device.name);
    return held;
}

/// The device's design as text, and the file it was made from.
py::tuple device_text(const HeldChip& held, const std::string& name) {
    const Design design = read_chip_device(held.path, name);
    return py::make_tuple(toml_text(design), design.file());
}

py::tuple predict_on(const HeldChip& held, const py::iterable& settings, const py::object& neighbours, unsigned threads,
                     const py::object& progress) {
    const Changes changes = changes_from(settings);
    const double distance_hz = distance_from(neighbours);
    return as_tuple(watched(progress, [&](Watch& watch) {
        return texts_of(predict_chip(held.read(changes), *held.materials,
                                     {cores(threads), distance_hz, watch.effort(0)}, watch.progressed()));
    }));
}

py::tuple release_on(const HeldChip& held, unsigned threads, const py::object& progress) {
    return as_tuple(watched(progress, [&](Watch& watch) {
        return texts_of(release_chip(held.read({}), *held.materials, cores(threads), watch.progressed()));
    }));
}

py::tuple plan_on(const HeldChip& held, const py::iterable& settings, double allowed_shift, double gas_share,
                  unsigned threads, const py::object& progress) {
    const Changes changes = changes_from(settings);
    const PlanOptions options{allowed_shift, gas_share, {}, {}};
    return as_tuple(watched(progress, [&](Watch& watch) {
        return texts_of(plan_chip(held.read(changes), *held.materials, options, cores(threads), watch.progressed(),
                                  watch.effort(0)));
    }));
}

/// @param files  the device whose file it is, or an empty text where the file says so
py::tuple compare_on(const HeldChip& held, const std::vector<std::pair<std::string, MeasuredFile>>& files,
                     const py::dict& reading, std::optional<int> modes, bool stress_prior, unsigned threads,
                     const py::object& progress) {
    const ReadingChoice choice = reading_from(reading);
    return as_tuple(watched(progress, [&](Watch& watch) {
        std::vector<MeasuredDevice> measured;
        for (const auto& [device, file] : files)
            for (MeasuredDevice& one : read_devices(file, device, choice)) measured.push_back(std::move(one));
        const std::vector<DeviceInput> devices = measured_devices(held.read({}), measured);
        return texts_of(compare(devices, *held.materials, {modes, stress_prior, cores(threads), watch.effort(0)},
                                watch.progressed()));
    }));
}

}  // namespace

unsigned cores(unsigned asked) {
    return asked > 0 ? asked : std::max(1U, std::thread::hardware_concurrency());
}

double distance_from(const py::object& neighbours) {
    const double distance_hz = si_from(neighbours, Kind::frequency, "neighbours");
    if (!(distance_hz >= 0.0)) throw InputError({}, "neighbours", "must be zero or more");
    return distance_hz;
}

void add_chips(py::module_& module) {
    py::class_<HeldChip>(module, "HeldChip")
        .def(py::init(&opened), py::arg("path"), py::arg("most_holes"), py::arg("materials"))
        .def_readonly("title", &HeldChip::title)
        .def_readonly("devices", &HeldChip::devices)
        .def("device", &device_text, py::arg("name"))
        .def("predict", &predict_on, py::arg("settings"), py::arg("neighbours"), py::arg("threads"),
             py::arg("progress"))
        .def("plan", &plan_on, py::arg("settings"), py::arg("allowed_shift"), py::arg("gas_share"), py::arg("threads"),
             py::arg("progress"))
        .def("compare", &compare_on, py::arg("files"), py::arg("reading"), py::arg("modes"), py::arg("stress_prior"),
             py::arg("threads"), py::arg("progress"))
        .def("release", &release_on, py::arg("threads"), py::arg("progress"));
}

}  // namespace tymbal::python
