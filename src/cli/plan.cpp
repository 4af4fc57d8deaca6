#include "chip.h"
#include "commands.h"
#include "interrupt.h"
#include "large_solution.h"
#include "output.h"
#include "solve_options.h"
#include "terminal.h"
#include "waiting.h"

#include "tymbal/base/error.h"
#include "tymbal/print/write_plan.h"
#include "tymbal/read/design.h"
#include "tymbal/read/read_chip.h"
#include "tymbal/task/plan.h"

#include <cmath>
#include <iostream>
#include <memory>

namespace tymbal {

namespace {

struct PlanCommand {
    std::string design, json, csv, materials;
    SolveOptions solve;
    double memory_limit = 0.0;
    ReadLimits limits;
    bool quiet = false, explain = false;
    PlanOptions options;
    std::vector<std::string> measured_q;
};

/// "MODE=VALUE" of --measured-q; a label has no '='.
std::vector<std::pair<std::string, double>> measured_qualities(const std::vector<std::string>& texts) {
    std::vector<std::pair<std::string, double>> all;
    for (const std::string& text : texts) {
        const std::size_t at = text.rfind('=');
        double value = 0.0;
        const bool number = at != std::string::npos && CLI::detail::lexical_cast(text.substr(at + 1), value);
        if (!number || at == 0 || !std::isfinite(value) || value < 1.0)
            throw InputError({}, "--measured-q",
                             "is '" + text + "'; accepted: MODE=VALUE with a Q of at least 1, e.g. \"(1,1)=2.1e6\"");
        all.emplace_back(text.substr(0, at), value);
    }
    return all;
}

Plan plan_watched(const Device& device, const Materials& materials, const PlanCommand& o) {
    const Interrupt interrupt;
    Waiting waiting(!o.quiet);
    Effort effort;
    effort.large = watched(waiting, o.memory_limit, !o.quiet);
    return plan(device, materials, o.options, waiting.bar(), effort);
}

void run_plan(PlanCommand& o) {
    require_apart(o.design, o.json, o.csv);
    o.options.measured_q = measured_qualities(o.measured_q);
    if (is_chip_file(o.design)) {
        if (o.explain) throw InputError({o.design, 0}, "--explain", "is for one design; this is a chip file");
        ChipRun run{o.design, o.json, o.csv, "", o.materials, o.solve, o.limits};
        run.quiet = o.quiet;
        return run_plan_chip(run, o.options);
    }
    const Materials materials = material_table(o.materials, {o.json, o.csv});
    const Device device = as_released(read_design(o.design).with(settings_of(o.solve)), materials, o.limits);
    require_kept(files_of(device), {o.json, o.csv});
    const Plan result = plan_watched(device, materials, o);
    write_to(o.json, [&](std::ostream& out) { write_json(out, result); });
    write_to(o.csv, [&](std::ostream& out) { write_csv(out, result); });
    if (o.quiet || o.json == "-" || o.csv == "-") return;
    show([&](std::ostream& out) { write_table(out, result); });
    if (o.explain) show([&](std::ostream& out) { write_explanation(out, result); });
}

}  // namespace

void add_plan(CLI::App& app) {
    const auto o = std::make_shared<PlanCommand>();
    CLI::App* command = app.add_subcommand(
        "plan", "the measurement plan: windows, times, spot, signal, drive, pressure and power limits");
    command->add_option("DESIGN", o->design, "design file (TOML), or a chip file: a plan a device")->required();
    add_json(*command, o->json);
    command->add_option("--csv", o->csv, "write the mode table as CSV to this file, - for standard output");
    add_solve_options(*command, o->solve);
    add_memory_limit(*command, o->memory_limit);
    command->add_option("--aim", o->options.aim, "label of a mode that one spot shall serve; may be repeated")
        ->allow_extra_args(false);
    command
        ->add_option("--allowed-shift", o->options.allowed_shift,
                     "relative shift by the light's heat that is accepted; default 1e-4")
        ->check(between(1e-9, 0.1));
    command->add_option("--gas-share", o->options.gas_share, "part of the loss that gas may make; default 0.1")
        ->check(between(1e-6, 0.9));
    command
        ->add_option("--measured-q", o->measured_q,
                     "MODE=VALUE: Q that a mode was measured to have, e.g. \"(1,1)=2.1e6\"; may be repeated")
        ->allow_extra_args(false);
    add_read_options(*command, o->limits);
    add_materials(*command, o->materials);
    add_quiet(*command, o->quiet);
    add_explain(*command, o->explain);
    command->footer("Example: tymbal plan examples/perforated-square.toml --modes 6 --aim \"(1,1)\"");
    command->callback([o] { run_plan(*o); });
}

}  // namespace tymbal
