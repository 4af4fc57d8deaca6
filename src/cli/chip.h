// Chip files on the command line: answers for all devices, or one device by its name.
#pragma once

#include "recording.h"
#include "solve_options.h"

#include "tymbal/task/plan.h"

#include <CLI/CLI.hpp>

#include <map>
#include <string>
#include <vector>

namespace tymbal {

/// @throws InputError for --hole-file with a chip, whose designs name theirs
void refuse_hole_file(const std::string& chip, const ReadLimits& limits);

/// --device NAME.
void add_device_option(CLI::App& command, std::string& device);

/// A design file, or one device of a chip file.
/// @param write_design  --write-design of the command; a device of a chip has no file that it could change
/// @throws InputError for a chip without --device, which lists its devices, and for --device with a design
[[nodiscard]] Design design_or_device(const std::string& path, const std::string& device,
                                      const std::string& write_design = "");

/// All files that such a device was read from, those of its chip's other devices among them, in their roles.
[[nodiscard]] std::map<std::string, std::string> files_behind(const std::string& path, const Device& device);

/// Files of holes that take the place of the design's one after the other, in their roles.
[[nodiscard]] std::map<std::string, std::string> hole_files(const Design& design,
                                                            const std::vector<std::string>& names);

[[nodiscard]] unsigned all_threads();

/// What a command that takes a chip was asked for.
struct ChipRun {
    std::string file, json, csv, sheet, materials;
    SolveOptions solve{};
    ReadLimits limits{};
    Recording recording{};
    double distance_hz = 1e3;
    bool quiet = false;
};

void run_predict_chip(const ChipRun& run);
void run_release_chip(const ChipRun& run);
/// @param out  the page to write; of run.recording what the record knows of the chip is shown, and nothing added
void run_report_chip(const ChipRun& run, const std::string& out);
void run_plan_chip(const ChipRun& run, const PlanOptions& options);

}  // namespace tymbal
