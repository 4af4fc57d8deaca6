#include "chip.h"

#include "../task/each_device.h"
#include "output.h"
#include "terminal.h"
#include "waiting.h"

#include "tymbal/base/error.h"
#include "tymbal/page/write_report.h"
#include "tymbal/print/write_chip.h"
#include "tymbal/read/read_chip.h"
#include "tymbal/task/record.h"

#include <algorithm>
#include <iostream>
#include <thread>
#include <utility>
#include <vector>

namespace tymbal {

namespace {

std::vector<std::string> targets_of(const ChipRun& run) {
    return {run.json, run.csv, run.sheet};
}

ChipDesign read(const ChipRun& run, const Materials& materials) {
    refuse_hole_file(run.file, run.limits);
    ChipDesign chip =
        waited(!run.quiet, [&] { return read_chip(run.file, materials, run.limits, settings_of(run.solve)); });
    require_kept(files_of(chip), targets_of(run));
    return chip;
}

/// An entry for each device that has an answer, all at once. @param entry_of  an optional entry from a device's result
template <class Devices, class EntryOf>
void record_devices(const ChipRun& run, const Materials& materials, const Devices& devices, const EntryOf& entry_of) {
    std::vector<RecordEntry> entries;
    for (const auto& device : devices) {
        std::optional<RecordEntry> entry = entry_of(device);
        if (!entry) continue;
        entry->device = device.name;
        entries.push_back(std::move(*entry));
    }
    record_entries(run.recording, {{run.file, std::move(entries)}}, materials, run.limits, run.quiet);
}

}  // namespace

unsigned all_threads() {
    return std::max(1U, std::thread::hardware_concurrency());
}

void refuse_hole_file(const std::string& chip, const ReadLimits& limits) {
    if (!limits.hole_file.empty())
        throw InputError({chip, 0}, "--hole-file", "is for one design; a chip's designs name theirs in holes.file");
}

void add_device_option(CLI::App& command, std::string& device) {
    command.add_option("--device", device, "the device of a chip file that is meant")->type_name("NAME");
}

Design design_or_device(const std::string& path, const std::string& device, const std::string& write_design) {
    if (!is_chip_file(path)) {
        if (!device.empty()) throw InputError({path, 0}, "--device", "is for chip files; this is one design");
        return read_design(path);
    }
    if (!write_design.empty())
        throw InputError({path, 0}, "--write-design",
                         "writes designs, and a device of a chip is made of several files; put the lines of the answer "
                         "into the device's change");
    return read_chip_device(path, device);
}

std::map<std::string, std::string> files_behind(const std::string& path, const Device& device) {
    std::map<std::string, std::string> files = files_of(device);
    if (is_chip_file(path)) files.merge(files_named_by_chip(path));
    return files;
}

std::map<std::string, std::string> hole_files(const Design& design, const std::vector<std::string>& names) {
    std::map<std::string, std::string> files;
    for (const std::string& name : names) files.merge(files_of(design.with({{"holes.file", name}})));
    return files;
}

void run_predict_chip(const ChipRun& run) {
    const Materials materials = material_table(run.materials, targets_of(run));
    const ChipDesign chip = read(run, materials);
    const ChipPrediction result = waited_with_bar(!run.quiet, [&](const Progressed& told) {
        return predict_chip(chip, materials, {all_threads(), run.distance_hz}, told);
    });
    write_to(run.json, [&](std::ostream& out) { write_json(out, result); });
    write_to(run.csv, [&](std::ostream& out) { write_csv(out, result); });
    record_devices(run, materials, result.devices, [](const PredictedDevice& d) -> std::optional<RecordEntry> {
        return d.prediction ? std::optional(predicted(*d.prediction)) : std::nullopt;
    });
    if (!run.quiet && run.json != "-" && run.csv != "-") show([&](std::ostream& out) { write_table(out, result); });
    require_any(result.devices, [](const PredictedDevice& d) { return d.prediction.has_value(); });
}

void run_release_chip(const ChipRun& run) {
    const Materials materials = material_table(run.materials, targets_of(run));
    const ChipDesign chip = read(run, materials);
    const ChipRelease result = waited_with_bar(
        !run.quiet, [&](const Progressed& told) { return release_chip(chip, materials, all_threads(), told); });
    write_to(run.json, [&](std::ostream& out) { write_json(out, result); });
    write_to(run.sheet, [&](std::ostream& out) { write_run_sheet(out, result); });
    record_devices(run, materials, result.devices,
                   [](const ReleasedDevice& d) -> std::optional<RecordEntry> { return planned(d.report); });
    if (!run.quiet && run.json != "-" && run.sheet != "-") show([&](std::ostream& out) { write_table(out, result); });
    if (!result.window.is_open())
        throw NoAnswer("the devices have no common window in the bath" +
                       std::string(result.to_move.empty()
                                       ? ""
                                       : "; move " + result.to_move.front() +
                                             (result.to_move.size() > 1 ? " and others" : "") + " to another chip"));
}

void run_report_chip(const ChipRun& run, const std::string& out) {
    const Materials materials = material_table(run.materials, {out});
    const std::optional<ReportedRecord> record = recorded_chip(run.recording, run.file);
    const ChipDesign chip = read(run, materials);
    require_kept(files_of(chip), {out});
    const ChipReport result = waited_with_bar(!run.quiet, [&](const Progressed& told) {
        return report_chip(chip, materials, {all_threads(), run.distance_hz}, told);
    });
    write_to(out, [&](std::ostream& page) { write_report(page, result, record); });
    if (!run.quiet && out != "-") std::cout << out << ": " << chip.devices.size() << " devices\n";
}

void run_plan_chip(const ChipRun& run, const PlanOptions& options) {
    if (!run.csv.empty()) throw InputError({run.file, 0}, "--csv", "is for one design; --json takes a chip's plans");
    const Materials materials = material_table(run.materials, targets_of(run));
    const ChipDesign chip = read(run, materials);
    const ChipPlan result = waited_with_bar(
        !run.quiet, [&](const Progressed& told) { return plan_chip(chip, materials, options, all_threads(), told); });
    write_to(run.json, [&](std::ostream& out) { write_json(out, result); });
    if (!run.quiet && run.json != "-") show([&](std::ostream& out) { write_table(out, result); });
    require_any(result.devices, [](const DevicePlan& d) { return d.plan.has_value(); });
}

}  // namespace tymbal
