#include "chip.h"
#include "commands.h"
#include "interrupt.h"
#include "large_solution.h"
#include "output.h"
#include "recording.h"
#include "solve_options.h"
#include "terminal.h"
#include "waiting.h"

#include "tymbal/base/error.h"
#include "tymbal/page/write_quick_look.h"
#include "tymbal/print/write_fields.h"
#include "tymbal/print/write_json.h"
#include "tymbal/print/write_table.h"
#include "tymbal/read/design.h"
#include "tymbal/read/design_keys.h"
#include "tymbal/read/read_chip.h"
#include "tymbal/task/record.h"
#include "tymbal/task/solved.h"
#include "tymbal/task/stress_map.h"

#include <iostream>
#include <memory>

namespace tymbal {

namespace {

struct PredictOptions {
    std::string design, json, csv, plot, fields, materials, near, within, neighbours;
    SolveOptions solve;
    double memory_limit = 0.0;  // GiB; 0: what the machine has
    ReadLimits limits;
    Recording recording;
    bool quiet = false, explain = false, keys = false, fields_csv = false;
};

/// No two results share a target, and none replaces the design.
void require_targets_apart(const PredictOptions& o) {
    require_apart(o.design, o.json, o.csv);
    require_apart(o.design, o.plot, o.json);
    require_apart("", o.plot, o.csv);
    if (o.fields_csv && o.fields.empty())
        throw InputError({}, "--fields-csv", "needs --fields with the folder to write to");
}

std::vector<std::string> targets_of(const PredictOptions& o) {
    std::vector<std::string> targets{o.json, o.csv, o.plot};
    if (!o.fields.empty())
        for (const char* name : field_files(o.fields_csv)) targets.push_back(o.fields + "/" + name);
    return targets;
}

/// --near and --within into the design's [solve], which has no keys for them.
void look_where_asked(const PredictOptions& o, Device& device) {
    if (!o.near.empty()) device.solve.near_hz = frequency_option("--near", o.near);
    if (!o.within.empty()) device.solve.within = Length::from_si(length_option("--within", o.within));
}

SolvedDesign solve_watched(const Device& device, const PredictOptions& o) {
    const Interrupt interrupt;
    Waiting waiting(!o.quiet);
    Effort effort;
    effort.large = watched(waiting, o.memory_limit, !o.quiet);
    return solve(device, effort);
}

/// A flat film that is not stable has a JSON nevertheless.
[[noreturn]] void refuse(const Device& device, const UnstableFilm& e, const PredictOptions& o) {
    const UnstablePrediction p = predict_unstable(device, e.what());
    write_to(o.json, [&](std::ostream& out) { write_json(out, p); });
    throw NoAnswer(p.why);
}

SolvedDesign solve_or_refuse(const Device& device, const PredictOptions& o) {
    try {
        return solve_watched(device, o);
    } catch (const UnstableFilm& e) {
        refuse(device, e, o);
    }
}

/// A chip takes what makes sense for many devices.
ChipRun chip_run(const PredictOptions& o) {
    const std::pair<const char*, bool> single[] = {{"--plot", !o.plot.empty()},
                                                   {"--fields", !o.fields.empty()},
                                                   {"--near", !o.near.empty()},
                                                   {"--within", !o.within.empty()},
                                                   {"--explain", o.explain}};
    for (const auto& [option, given] : single)
        if (given) throw InputError({o.design, 0}, option, "is for one design; this is a chip file");
    ChipRun run{o.design, o.json, o.csv, "", o.materials, o.solve, o.limits, o.recording};
    run.quiet = o.quiet;
    if (!o.neighbours.empty()) run.distance_hz = frequency_option("--neighbours", o.neighbours);
    return run;
}

void run_predict(const PredictOptions& o) {
    if (o.keys) {
        std::cout << describe_design_keys();
        return;
    }
    if (o.design.empty())
        throw InputError({}, "DESIGN.toml", "is missing; name a design file, or --keys for the keys it may have");
    require_targets_apart(o);
    require_recordable(o.recording, o.design, targets_of(o));
    if (is_chip_file(o.design)) return run_predict_chip(chip_run(o));
    if (!o.neighbours.empty()) throw InputError({o.design, 0}, "--neighbours", "is for chip files; this is one design");
    const Materials materials = material_table(o.materials, targets_of(o));
    Device device = as_released(read_design(o.design).with(settings_of(o.solve)), materials, o.limits);
    require_kept(files_of(device), targets_of(o));
    look_where_asked(o, device);
    const SolvedDesign solved = solve_or_refuse(device, o);
    const StressMap stress = stress_map(device.outline, solved.laid.film, solved.set.fine);
    const Prediction prediction = complete(device, materials, solved, stress);
    write_to(o.json, [&](std::ostream& out) { write_json(out, prediction); });
    write_to(o.csv, [&](std::ostream& out) { write_csv(out, prediction); });
    record_entries(o.recording, {{o.design, {predicted(prediction)}}}, materials, o.limits, o.quiet);
    write_to(o.plot, [&](std::ostream& out) { write_quick_look(out, device, draw_design(device), prediction); });
    if (!o.fields.empty()) write_fields(o.fields, prediction, stress, o.fields_csv);
    if (o.quiet || o.json == "-" || o.csv == "-" || o.plot == "-") return;
    show([&](std::ostream& out) { write_table(out, prediction); });
    if (o.explain) show([&](std::ostream& out) { write_explanation(out, prediction); });
}

}  // namespace

void add_predict(CLI::App& app) {
    const auto o = std::make_shared<PredictOptions>();
    CLI::App* command = app.add_subcommand("predict", "effective film, modes, losses and readout figures of a design");
    command->add_option("DESIGN", o->design, "design or chip file (TOML); --keys lists every key a design may have");
    add_json(*command, o->json);
    command->add_option("--csv", o->csv, "write the mode table as CSV to this file, - for standard output");
    command->add_option("--plot", o->plot, "draw the mode shapes as SVG into this file, - for standard output");
    command->add_option("--fields", o->fields,
                        "write mode shapes and stress as VTK XML image data into this folder: modes.vti, stress.vti");
    command->add_flag("--fields-csv", o->fields_csv, "and as modes.csv, stress.csv");
    command
        ->add_option("--near", o->near,
                     "the modes nearest to this frequency, e.g. '3.0 MHz', and where they live; --modes says how many")
        ->type_name("FREQUENCY");
    command
        ->add_option("--within", o->within,
                     "and which share of each mode's motion lies inside this radius of the origin, e.g. '60 um'")
        ->type_name("LENGTH");
    command
        ->add_option("--neighbours", o->neighbours,
                     "chip files: modes of different devices closer than this are listed; default 1 kHz")
        ->type_name("FREQUENCY");
    add_solve_options(*command, o->solve);
    add_recording(*command, o->recording);
    add_read_options(*command, o->limits);
    add_memory_limit(*command, o->memory_limit);
    add_materials(*command, o->materials);
    add_quiet(*command, o->quiet);
    add_explain(*command, o->explain);
    command->add_flag("--keys", o->keys, "list the keys of a design file and leave");
    command->footer("Example: tymbal predict examples/perforated-square.toml --json result.json");
    command->callback([o] { run_predict(*o); });
}

}  // namespace tymbal
