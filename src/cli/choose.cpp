#include "chip.h"
#include "commands.h"
#include "output.h"
#include "progress.h"
#include "solve_options.h"
#include "terminal.h"

#include "tymbal/base/error.h"
#include "tymbal/print/write_choice.h"
#include "tymbal/read/changed_design.h"
#include "tymbal/read/design.h"
#include "tymbal/task/choose.h"

#include <algorithm>
#include <iostream>
#include <memory>
#include <thread>
#include <vector>

namespace tymbal {

namespace {

struct ChooseOptions {
    std::string design, device, json, csv, write_design, materials;
    SolveOptions solve;
    ReadLimits limits;
    int samples = 60;
    unsigned threads = 0;
    double least_chance = 0.9;
    bool quiet = false, robust = false, explain = false;
};

/// Counts the designs that the search asks for.
Choice search(const ChooseOptions& o, const ChoiceJob& job) {
    Progress progress(expected_designs(job), !o.quiet);
    const DeviceAt counted = [&](const Changes& changes) {
        progress.step(false);
        return job.device_at(changes);
    };
    return choose({counted, job.materials, job.samples, job.threads, job.robust, job.least_chance});
}

void run_choose(const ChooseOptions& o) {
    require_apart(o.design, o.json, o.csv);
    require_apart(o.design, o.write_design, o.json);
    require_apart("", o.write_design, o.csv);
    const std::vector<std::string> targets{o.json, o.csv, o.write_design};
    const Materials materials = material_table(o.materials, targets);
    const Design design = design_or_device(o.design, o.device, o.write_design).with(settings_of(o.solve));
    const DeviceAt device_at = devices_of(design, materials, o.limits);
    const Device device = device_at({});
    require_kept(files_behind(o.design, device), targets);
    for (const FreeKey& free : device.free)
        if (free.key == "holes.file") require_kept(hole_files(design, free.names), targets);
    const unsigned cores = std::max(1U, std::thread::hardware_concurrency());
    const Choice choice =
        search(o, {device_at, materials, o.samples, o.threads > 0 ? o.threads : cores, o.robust, o.least_chance});
    const std::string text = o.write_design.empty() ? "" : changed_design(o.design, choice.lines, materials, o.limits);
    write_to(o.json, [&](std::ostream& out) { write_json(out, choice); });
    write_to(o.write_design, [&](std::ostream& out) { out << text; });
    write_to(o.csv, [&](std::ostream& out) { write_csv(out, choice); });
    if (o.quiet || o.json == "-" || o.csv == "-" || o.write_design == "-") return;
    show([&](std::ostream& out) { write_table(out, choice); });
    if (o.explain) show([&](std::ostream& out) { write_explanation(out, choice); });
}

}  // namespace

void add_choose(CLI::App& app) {
    const auto o = std::make_shared<ChooseOptions>();
    CLI::App* command =
        app.add_subcommand("choose", "searches [free] inside [limits]: feasible set, trade-offs, recommended design");
    command->add_option("DESIGN", o->design, "design file (TOML) with [free] and [limits], [target] as a rule")
        ->required();
    add_device_option(*command, o->device);
    command->add_flag("--robust", o->robust,
                      "seek the largest chance to meet the frequency window before what target.aim says");
    command
        ->add_option("--least-chance", o->least_chance,
                     "chance to meet the window that a recommended design has; default 0.9")
        ->check(between(0.0, 1.0));
    command->add_option("--samples", o->samples, "first designs, spread over the free ranges; default 60")
        ->check(between(4, 100000));
    command->add_option("--threads", o->threads, "default: all cores; the numbers are the same")
        ->check(between(1, 4096));
    add_json(*command, o->json);
    command->add_option("--csv", o->csv, "write the trade-offs as CSV to this file, - for standard output");
    add_solve_options(*command, o->solve);
    add_read_options(*command, o->limits);
    command->add_option("--write-design", o->write_design,
                        "write the recommended design to this file, - for standard output");
    add_materials(*command, o->materials);
    add_quiet(*command, o->quiet);
    add_explain(*command, o->explain);
    command->footer("Example: tymbal choose examples/choose-drum.toml --json choice.json");
    command->callback([o] { run_choose(*o); });
}

}  // namespace tymbal
