#include "drawings.h"

#include "chips.h"
#include "designs.h"
#include "reading.h"
#include "told.h"
#include "values.h"
#include "watched.h"

#include "tymbal/base/error.h"
#include "tymbal/mask/read_picture.h"
#include "tymbal/page/plan_picture.h"
#include "tymbal/page/write_report.h"
#include "tymbal/print/write_chip_pattern.h"
#include "tymbal/read/read_materials.h"
#include "tymbal/read/read_step.h"
#include "tymbal/text/whole_file.h"

#include <pybind11/stl.h>

#include <algorithm>
#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace tymbal::python {

namespace {

using Files = std::map<std::string, std::string>;

/// What was made, and the same in a file where one is named; none is written for a caller who has gone.
template <class Write>
std::string delivered(const Watch& watch, const std::string& out, const Write& write) {
    std::string made = written(write);
    watch.keep_going();
    if (!out.empty()) write_whole(out, [&](std::ostream& file) { file << made; });
    return made;
}

/// Nothing that is read is written over. @param read  files and their roles
void require_kept(const Files& read, const MaterialTable& materials, const std::string& out) {
    require_inputs_kept(read, out);
    require_table_kept(materials.folder, out);
}

void require_svg(const std::string& out) {
    if (!out.empty() && std::filesystem::path(out).extension() != ".svg")
        throw InputError({}, "out", "is '" + out + "', and must end in .svg");
}

std::string draw_design(const HeldDesign& design, const std::string& out) {
    require_svg(out);
    return watched(py::none(), [&](Watch& watch) {
        const Device device = design.device({});
        require_kept(files_of(device), *design.materials, out);
        return delivered(watch, out, [&](std::ostream& file) { file << plan_picture(device); });
    });
}

std::string draw_chip_map(const HeldChip& held, const std::string& out) {
    require_svg(out);
    return watched(py::none(), [&](Watch& watch) {
        const ChipDesign chip = held.read({});
        require_kept(files_of(chip), *held.materials, out);
        return delivered(watch, out, [&](std::ostream& file) { file << plan_picture(chip); });
    });
}

/// A sweep's table as text, and the name that it goes by.
using SweepText = std::pair<std::string, std::string>;

std::optional<ReportedSweep> reported(const std::optional<SweepText>& sweep, int mode) {
    if (!sweep) return std::nullopt;
    ReportedSweep shown{parse_sweep(sweep->first, sweep->second), mode};
    if (!shown.table.has("label_" + std::to_string(mode)))
        throw InputError(
            {sweep->second, 0}, "sweep_mode",
            "is " + std::to_string(mode) + ", and the sweep has no mode of that place; solve it with more modes");
    shown.table.sort();
    return shown;
}

// NOLINTNEXTLINE(readability-function-size): one parameter for each of the Python function
std::string report_design(const HeldDesign& design, const py::iterable& settings, const std::string& out,
                          const std::optional<MeasuredFile>& measured, const std::optional<SweepText>& sweep,
                          int sweep_mode, const py::object& progress) {
    const Changes changes = changes_from(settings);
    return watched(progress, [&](Watch& watch) {
        const Device device = design.device(changes);
        Files read = files_of(device);
        if (measured) read.emplace(measured->first, "measured");
        if (sweep) read.emplace(sweep->second, "sweep");
        require_kept(read, *design.materials, out);
        const std::optional<ReportedSweep> shown = reported(sweep, sweep_mode);
        const std::optional<Measured> lines = measured ? std::optional(read_named(*measured, {})) : std::nullopt;
        Effort effort;
        effort.large = watch.effort(0);
        const Report page = report(device, *design.materials, lines, effort, watch.progressed());
        return delivered(watch, out, [&](std::ostream& file) { write_report(file, page, shown); });
    });
}

/// A record's file and the chip's name there.
using RecordName = std::pair<std::string, std::string>;

std::optional<ReportedRecord> reported(const std::optional<RecordName>& record) {
    if (!record) return std::nullopt;
    const auto& [file, chip] = *record;
    const std::string name = chip_named(chip, read_chips(file), file);
    return ReportedRecord{read_record(file, name), name};
}

// NOLINTNEXTLINE(readability-function-size): one parameter for each of the Python function
std::string report_of_chip(const HeldChip& held, const py::iterable& settings, const std::string& out,
                           const py::object& neighbours, const std::optional<RecordName>& record, unsigned threads,
                           const py::object& progress) {
    const Changes changes = changes_from(settings);
    const double distance_hz = distance_from(neighbours);
    return watched(progress, [&](Watch& watch) {
        const std::optional<ReportedRecord> known = reported(record);
        const ChipDesign chip = held.read(changes);
        Files read = files_of(chip);
        if (record) read.emplace(record->first, "record");
        require_kept(read, *held.materials, out);
        const ChipReport page =
            report_chip(chip, *held.materials, {cores(threads), distance_hz, watch.effort(0)}, watch.progressed());
        return delivered(watch, out, [&](std::ostream& file) { write_report(file, page, known); });
    });
}

/// What goes into the mask, and where it goes.
struct MaskWish {
    std::string out, layers;  ///< files; empty: none
    PatternFormat format = PatternFormat::gdsii;
    bool allow_broken = false;
    std::vector<Witness> witnesses;
    int most_corners = 0;
    std::string label;
};

Witness witness_of(const std::string& name) {
    std::string accepted;
    for (const Witness w : all_witnesses()) {
        if (name == to_string(w)) return w;
        accepted.append(accepted.empty() ? "" : ", ").append(to_string(w));
    }
    throw InputError({}, "witnesses", "has '" + name + "'; accepted: " + accepted);
}

MaskWish mask_wish(const py::dict& options) {
    const auto text = [&](const char* name) { return py::cast<std::string>(options[name]); };
    MaskWish wish{text("out"),
                  text("layers"),
                  pattern_format("mask." + text("format")),
                  py::cast<bool>(options["allow_broken"]),
                  {},
                  py::cast<int>(options["corners"]),
                  text("label")};
    for (const auto& name : py::cast<std::vector<std::string>>(options["witnesses"]))
        wish.witnesses.push_back(witness_of(name));
    return wish;
}

struct Mask {
    Texts texts;
    std::string drawing, refused;
};

/// JSON, table and drawing; without the drawing, and with the words that refuse it, where it cannot be printed.
template <class Drawn>
Mask masked(const Watch& watch, const MaskWish& wish, const LayerNumbers& layers, const Drawn& drawn) {
    Mask mask{{written([&](std::ostream& to) { write_json(to, drawn, layers); }),
               written([&](std::ostream& to) { write_table(to, drawn); })},
              "",
              ""};
    if (drawn.printable() || wish.allow_broken)
        mask.drawing =
            delivered(watch, wish.out, [&](std::ostream& to) { write_pattern(to, drawn, wish.format, layers); });
    else
        mask.refused =
            "drawn widths are below process.least_feature, so nothing was drawn; allow_broken=True draws it all the "
            "same";
    return mask;
}

py::tuple as_tuple(const Mask& mask) {
    return py::make_tuple(mask.texts.json, mask.texts.table, py::bytes(mask.drawing), mask.refused);
}

/// @param read  the files of the design or chip; neither they nor that of the layers are written over
LayerNumbers layers_of(const MaskWish& wish, Files read, const MaterialTable& materials) {
    if (!wish.layers.empty()) read.emplace(wish.layers, "layers");
    require_kept(read, materials, wish.out);
    return wish.layers.empty() ? usual_layers : read_layers(wish.layers);
}

py::tuple pattern_of_design(const HeldDesign& design, const py::dict& options, const py::object& progress) {
    const MaskWish wish = mask_wish(options);
    return as_tuple(watched(progress, [&](Watch& watch) {
        const Device device = design.device({});
        const LayerNumbers layers = layers_of(wish, files_of(device), *design.materials);
        return masked(watch, wish, layers, draw_pattern(device, {wish.witnesses, wish.most_corners, wish.label}));
    }));
}

py::tuple pattern_of_chip(const HeldChip& held, const py::dict& options, const py::object& progress) {
    const MaskWish wish = mask_wish(options);
    return as_tuple(watched(progress, [&](Watch& watch) {
        const ChipDesign chip = held.read({});
        const LayerNumbers layers = layers_of(wish, files_of(chip), *held.materials);
        ChipPatternOptions all{wish.witnesses, wish.most_corners, wish.label, {}};
        if (!chip.marks.picture.empty()) all.picture = read_picture(chip.marks.picture, chip.marks.picture_width_m);
        return masked(watch, wish, layers, draw_chip(chip, all));
    }));
}

}  // namespace

void add_drawings(py::module_& module) {
    module.def("draw", &draw_design, py::arg("design"), py::arg("out"));
    module.def("draw_chip", &draw_chip_map, py::arg("chip"), py::arg("out"));
    module.def("report", &report_design, py::arg("design"), py::arg("settings"), py::arg("out"), py::arg("measured"),
               py::arg("sweep"), py::arg("sweep_mode"), py::arg("progress"));
    module.def("report_chip", &report_of_chip, py::arg("chip"), py::arg("settings"), py::arg("out"),
               py::arg("neighbours"), py::arg("record"), py::arg("threads"), py::arg("progress"));
    module.def("pattern", &pattern_of_design, py::arg("design"), py::arg("options"), py::arg("progress"));
    module.def("pattern_chip", &pattern_of_chip, py::arg("chip"), py::arg("options"), py::arg("progress"));
}

}  // namespace tymbal::python
