#include "commands.h"
#include "output.h"
#include "recording.h"
#include "solve_options.h"
#include "terminal.h"
#include "waiting.h"

#include "tymbal/base/error.h"
#include "tymbal/files/design.h"
#include "tymbal/files/read_materials.h"
#include "tymbal/files/read_measured.h"
#include "tymbal/files/record_chip.h"
#include "tymbal/files/write_compare.h"
#include "tymbal/task/compare.h"
#include "tymbal/task/record.h"

#include <algorithm>
#include <fstream>
#include <iostream>
#include <map>
#include <memory>
#include <sstream>

namespace tymbal {

namespace {

struct CompareOptions {
    std::string design, measured, kind, signal, width, decimal, resolution, frequency;
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

/// No output may replace an input or share its target with another.
void require_all_apart(const CompareOptions& o) {
    std::vector<std::string> outputs{o.json, o.csv, o.plot};
    outputs.insert(outputs.end(), o.write_design.begin(), o.write_design.end());
    std::vector<std::string> inputs{o.design, o.measured};
    for (const auto& [design, measured] : o.also) inputs.insert(inputs.end(), {design, measured});
    for (std::size_t a = 0; a < outputs.size(); ++a) {
        for (const std::string& input : inputs) require_apart(input, outputs[a], "");
        for (std::size_t b = a + 1; b < outputs.size(); ++b) require_apart("", outputs[a], outputs[b]);
    }
}

/// Designs with the fitted film, the first for DESIGN, the next for those of --also.
std::vector<std::string> fitted_designs(const CompareOptions& o, const Comparison& result) {
    std::vector<std::string> texts;
    for (std::size_t d = 0; d < o.write_design.size(); ++d)
        texts.push_back(fitted_design(text_of(d == 0 ? o.design : o.also[d - 1].first), result, d));
    return texts;
}

/// Each device's fit, with the measured file whole.
void record_fits(const CompareOptions& o, const Comparison& result, const Materials& materials) {
    if (o.recording.file.empty() && o.recording.chip.empty()) return;
    for (std::size_t d = 0; d < result.devices.size(); ++d) {
        RecordEntry entry = fitted(result, d);
        entry.files.push_back(kept_file("measured", d == 0 ? o.measured : o.also[d - 1].second));
        record_entries(o.recording, d == 0 ? o.design : o.also[d - 1].first, {entry}, materials, o.limits, o.quiet);
    }
}

void run_compare(const CompareOptions& o) {
    if (o.write_design.size() > o.also.size() + 1)
        throw InputError({}, "--write-design", "is given more often than there are designs; give one file for each");
    require_all_apart(o);
    require_recordable(o.recording, o.design);
    for (const auto& [design, measured] : o.also) require_recordable(o.recording, design);
    const Materials materials = read_materials(find_materials(o.materials, own_path()));
    const ReadingChoice choice = choice_of(o);
    std::vector<DeviceInput> devices;
    devices.push_back({as_released(read_design(o.design), materials, o.limits), read_measured(o.measured, choice)});
    for (const auto& [design, measured] : o.also)
        devices.push_back({as_released(read_design(design), materials, o.limits), read_measured(measured, choice)});
    CompareSettings settings;
    settings.stress_prior = o.stress_prior;
    if (o.modes > 0) settings.modes = o.modes;
    const Comparison result =
        waited_with_bar(!o.quiet, [&](const Progressed& told) { return compare(devices, materials, settings, told); });
    const std::vector<std::string> fitted = fitted_designs(o, result);
    write_to(o.json, [&](std::ostream& out) { write_json(out, result); });
    write_to(o.csv, [&](std::ostream& out) { write_csv(out, result); });
    write_to(o.plot, [&](std::ostream& out) { write_svg(out, result); });
    for (std::size_t d = 0; d < fitted.size(); ++d)
        write_to(o.write_design[d], [&](std::ostream& out) { out << fitted[d]; });
    record_fits(o, result, materials);
    const bool piped = std::find(o.write_design.begin(), o.write_design.end(), "-") != o.write_design.end();
    if (o.quiet || o.json == "-" || o.csv == "-" || o.plot == "-" || piped) return;
    show([&](std::ostream& out) { write_table(out, result); });
    if (o.explain) show([&](std::ostream& out) { write_explanation(out, result); });
}

}  // namespace

void add_compare(CLI::App& app) {
    const auto o = std::make_shared<CompareOptions>();
    CLI::App* command = app.add_subcommand("compare", "measured lines against a design: modes named, film fitted");
    command->add_option("DESIGN", o->design, "design file (TOML)")->required();
    command->add_option("MEASURED", o->measured, "peak list, spectrum or ringdown (CSV with named columns)")
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
                     "write the design with the fitted film to this file; repeat it for the designs of --also")
        ->allow_extra_args(false);
    add_recording(*command, o->recording);
    add_read_options(*command, o->limits);
    add_materials(*command, o->materials);
    add_quiet(*command, o->quiet);
    add_explain(*command, o->explain);
    command->footer("Example: tymbal compare examples/perforated-square.toml examples/measured-peaks.csv");
    command->callback([o] { run_compare(*o); });
}

}  // namespace tymbal
