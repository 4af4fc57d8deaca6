#include "chip.h"
#include "commands.h"
#include "forms.h"
#include "output.h"
#include "recording.h"
#include "solve_options.h"
#include "terminal.h"
#include "waiting.h"

#include "tymbal/base/error.h"
#include "tymbal/print/write_cavity_fit.h"
#include "tymbal/print/write_compare.h"
#include "tymbal/read/design.h"
#include "tymbal/read/read_chip.h"
#include "tymbal/read/read_measured.h"
#include "tymbal/read/record_chip.h"
#include "tymbal/task/cavity_fit.h"
#include "tymbal/task/compare.h"
#include "tymbal/task/compare_chip.h"
#include "tymbal/task/record.h"

#include <algorithm>
#include <array>
#include <fstream>
#include <iostream>
#include <map>
#include <memory>
#include <sstream>

namespace tymbal {

namespace {

struct CompareOptions {
    std::string design, kind, signal, width, decimal, resolution, frequency;
    std::vector<std::string> measured;
    ReadLimits limits;
    Recording recording;
    std::string json, csv, plot, materials;
    std::vector<std::string> write_design;
    std::vector<std::pair<std::string, std::string>> also;
    int modes = 0;
    bool stress_prior = false, quiet = false, explain = false;
};

ReadingChoice choice_of(const CompareOptions& o) {
    const std::map<std::string, MeasuredKind> kinds{
        {"peaks", MeasuredKind::peaks}, {"spectrum", MeasuredKind::spectrum}, {"ringdown", MeasuredKind::ringdown}};
    ReadingChoice choice;
    if (!o.kind.empty()) choice.kind = kinds.at(o.kind);
    if (o.signal == "amplitude") choice.signal = SignalScale::amplitude;
    if (o.signal == "power") choice.signal = SignalScale::power;
    if (o.width == "amplitude") choice.width = WidthOf::amplitude;
    if (!o.decimal.empty()) choice.decimal = o.decimal == "comma" ? ',' : '.';
    if (!o.resolution.empty()) choice.resolution_hz = frequency_option("--resolution", o.resolution);
    if (!o.frequency.empty()) choice.frequency_hz = frequency_option("--frequency", o.frequency);
    return choice;
}

std::string text_of(const std::string& path) {
    std::ifstream in(path, std::ios::binary);
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
}

std::vector<std::string> targets_of(const CompareOptions& o) {
    std::vector<std::string> targets{o.json, o.csv, o.plot};
    targets.insert(targets.end(), o.write_design.begin(), o.write_design.end());
    return targets;
}

/// No two outputs share a target, and none replaces a file that was read.
void require_all_apart(const CompareOptions& o, std::map<std::string, std::string> read) {
    const std::vector<std::string> outputs = targets_of(o);
    for (std::size_t a = 0; a < outputs.size(); ++a)
        for (std::size_t b = a + 1; b < outputs.size(); ++b) require_apart("", outputs[a], outputs[b]);
    for (const std::string& path : o.measured) read[path] = "measured file";
    for (const auto& [design, measured] : o.also) read[measured] = "measured file";
    require_kept(read, outputs);
}

CompareSettings settings_of(const CompareOptions& o) {
    CompareSettings settings;
    settings.stress_prior = o.stress_prior;
    settings.threads = all_threads();
    if (o.modes > 0) settings.modes = o.modes;
    return settings;
}

Comparison compare_watched(const CompareOptions& o, const std::vector<DeviceInput>& devices,
                           const Materials& materials) {
    const CompareSettings settings = settings_of(o);
    return waited_with_bar(!o.quiet,
                           [&](const Progressed& told) { return compare(devices, materials, settings, told); });
}

/// All that was asked for but the record.
/// @param fitted  texts of the files of --write-design
void write_results(const CompareOptions& o, const Comparison& result, const std::vector<std::string>& fitted) {
    write_to(o.json, [&](std::ostream& out) { write_json(out, result); });
    write_to(o.csv, [&](std::ostream& out) { write_csv(out, result); });
    write_to(o.plot, [&](std::ostream& out) { write_svg(out, result); });
    for (std::size_t d = 0; d < fitted.size(); ++d)
        write_to(o.write_design[d], [&](std::ostream& out) { out << fitted[d]; });
}

void show_result(const CompareOptions& o, const Comparison& result) {
    const bool piped = std::find(o.write_design.begin(), o.write_design.end(), "-") != o.write_design.end();
    if (o.quiet || o.json == "-" || o.csv == "-" || o.plot == "-" || piped) return;
    show([&](std::ostream& out) { write_table(out, result); });
    if (o.explain) show([&](std::ostream& out) { write_explanation(out, result); });
}

/// Without a record nobody reads the measured files a second time, whole.
bool is_recorded(const CompareOptions& o) {
    return !o.recording.file.empty();
}

/// A device's fit, with the measured file whole.
RecordEntry fit_entry(const Comparison& result, std::size_t device) {
    RecordEntry entry = fitted(result, device);
    entry.device = result.devices[device].name;
    entry.files.push_back(kept_file("measured", result.devices[device].measured.file));
    return entry;
}

void run_compare_chip(const CompareOptions& o) {
    if (!o.also.empty())
        throw InputError({o.design, 0}, "--also", "is for designs; this is a chip file, which has all its devices");
    if (o.write_design.size() > 1)
        throw InputError({o.design, 0}, "--write-design", "is given more than once, and a chip is one file");
    refuse_hole_file(o.design, o.limits);
    require_recordable(o.recording, o.design, targets_of(o));
    const Materials materials = material_table(o.materials, targets_of(o));
    const ChipDesign chip = read_chip(o.design, materials, o.limits);
    require_all_apart(o, files_of(chip));
    std::vector<MeasuredDevice> measured;
    for (const std::string& path : o.measured)
        for (MeasuredDevice& device : read_measured_devices(path, choice_of(o))) measured.push_back(std::move(device));
    const Comparison result = compare_watched(o, measured_devices(chip, measured), materials);
    std::vector<std::string> fitted;
    if (!o.write_design.empty()) fitted.push_back(fitted_chip(text_of(o.design), o.design, result));
    write_results(o, result, fitted);
    if (is_recorded(o)) {
        std::vector<RecordEntry> entries;
        for (std::size_t d = 0; d < result.devices.size(); ++d) entries.push_back(fit_entry(result, d));
        record_entries(o.recording, {{o.design, std::move(entries)}}, materials, o.limits, o.quiet);
    }
    show_result(o, result);
}

/// One mode's lines against the cavity's detuning fit no film, so that nothing is written back or kept.
void require_no_film(const CompareOptions& o) {
    const Place at{o.measured.front(), 0};
    for (const auto& [given, option] : {std::pair{!o.also.empty(), "--also"},
                                        {!o.write_design.empty(), "--write-design"},
                                        {is_recorded(o), "--record"},
                                        {o.stress_prior, "--stress-prior"}})
        if (given)
            throw InputError(at, "detuning",
                             std::string("is a column of one mode's lines in its cavity, which fit a coupling and no "
                                         "film; leave out ") +
                                 option);
}

/// A list with detunings: the coupling of one mode to its cavity.
void run_compare_cavity(const CompareOptions& o, DeviceInput device, const Materials& materials) {
    require_no_film(o);
    if (o.modes > 0) device.design.solve.modes = o.modes;
    const CavityFit fit = waited_with_bar(
        !o.quiet, [&](const Progressed& told) { return fit_cavity(device.design, materials, device.measured, told); });
    deliver({o.json, o.csv, o.plot, o.quiet, o.explain}, fit);
}

void run_compare_designs(const CompareOptions& o) {
    if (o.measured.size() > 1)
        throw InputError({o.design, 0}, "MEASURED",
                         "is more than one file, and this is one design; give other devices with --also, or a chip "
                         "file");
    if (o.write_design.size() > o.also.size() + 1)
        throw InputError({}, "--write-design", "is given more often than there are designs; give one file for each");
    std::vector<std::array<std::string, 2>> asked{{o.design, o.measured.front()}};
    for (const auto& [design, measured] : o.also) asked.push_back({design, measured});
    std::map<std::string, std::string> read;
    std::vector<DeviceInput> devices;
    const Materials materials = material_table(o.materials, targets_of(o));
    for (const auto& [design, measured] : asked) {
        require_recordable(o.recording, design, targets_of(o));
        devices.push_back(
            {as_released(read_design(design), materials, o.limits), read_measured(measured, choice_of(o))});
        read.merge(files_of(devices.back().design));
    }
    require_all_apart(o, read);
    if (has_detunings(devices.front().measured)) return run_compare_cavity(o, devices.front(), materials);
    const Comparison result = compare_watched(o, devices, materials);
    std::vector<std::string> texts;
    for (std::size_t d = 0; d < o.write_design.size(); ++d)
        texts.push_back(fitted_design(text_of(asked[d][0]), result, d));
    write_results(o, result, texts);
    if (is_recorded(o)) {
        std::vector<DesignEntries> entries;
        for (std::size_t d = 0; d < asked.size(); ++d) entries.push_back({asked[d][0], {fit_entry(result, d)}});
        record_entries(o.recording, std::move(entries), materials, o.limits, o.quiet);
    }
    show_result(o, result);
}

void run_compare(const CompareOptions& o) {
    is_chip_file(o.design) ? run_compare_chip(o) : run_compare_designs(o);
}

}  // namespace

void add_compare(CLI::App& app) {
    const auto o = std::make_shared<CompareOptions>();
    CLI::App* command = app.add_subcommand("compare", "measured lines against a design: modes named, film fitted");
    command->add_option("DESIGN", o->design, "design or chip file (TOML)")->required();
    command
        ->add_option("MEASURED", o->measured,
                     "peak list, spectrum or ringdown (CSV with named columns); of a chip one file for each device, "
                     "named after it, or lists with a column 'device'; one mode's lines with a column 'detuning' tell "
                     "how it couples to its cavity")
        ->required();
    command->add_option("--also", o->also, "DESIGN MEASURED of another device of the same chip; repeat for more");
    command->add_option("--kind", o->kind, "what MEASURED is, when its columns do not say")
        ->check(CLI::IsMember({"peaks", "spectrum", "ringdown"}));
    command->add_option("--signal", o->signal, "what a column named signal or voltage is")
        ->check(CLI::IsMember({"amplitude", "power"}));
    command->add_option("--width", o->width, "of which curve line widths are the full width at half maximum")
        ->check(CLI::IsMember({"power", "amplitude"}));
    command->add_option("--decimal", o->decimal, "decimal sign, when the numbers do not say")
        ->check(CLI::IsMember({"point", "comma"}));
    command->add_option("--resolution", o->resolution, "bandwidth of the spectrum's instrument, e.g. \"10 Hz\"");
    command->add_option("--frequency", o->frequency, "of the mode that rings down, e.g. \"1.2 MHz\"");
    command->add_option("--modes", o->modes, "number of modes to solve; default: enough for the highest peak")
        ->check(between(3, 200));
    command->add_flag("--stress-prior", o->stress_prior, "the design's stress counts as known to its uncertainty");
    add_json(*command, o->json);
    command->add_option("--csv", o->csv, "write the peak table as CSV to this file, - for standard output");
    command->add_option("--plot", o->plot, "write measured and fitted lines and residuals as SVG to this file");
    command
        ->add_option("--write-design", o->write_design,
                     "write the design or chip with the fitted film to this file; repeat it for the designs of --also")
        ->allow_extra_args(false);
    add_recording(*command, o->recording);
    add_read_options(*command, o->limits);
    add_materials(*command, o->materials);
    add_quiet(*command, o->quiet);
    add_explain(*command, o->explain);
    command->footer(
        "Example: tymbal compare examples/plain-square.toml examples/measured-spectrum.csv\n"
        "         tymbal compare examples/ladder/chip.toml examples/ladder/lines.csv");
    command->callback([o] { run_compare(*o); });
}

}  // namespace tymbal
