#include "chip.h"
#include "commands.h"
#include "forms.h"
#include "interrupt.h"
#include "large_solution.h"
#include "output.h"
#include "solve_options.h"
#include "terminal.h"
#include "waiting.h"

#include "tymbal/base/error.h"
#include "tymbal/print/write_cavity.h"
#include "tymbal/read/design.h"
#include "tymbal/task/cavity.h"

#include <iostream>
#include <memory>

namespace tymbal {

namespace {

struct CavityCommand {
    std::string design, device, json, csv, plot, materials;
    SolveOptions solve;
    double memory_limit = 0.0;
    ReadLimits limits;
    bool quiet = false, explain = false;
};

CavityReport see_watched(const Device& device, const Materials& materials, const CavityCommand& o) {
    const Interrupt interrupt;
    Waiting waiting(!o.quiet);
    return see_cavity(device, materials, waiting.bar(), watched(waiting, o.memory_limit, !o.quiet));
}

void run_cavity(const CavityCommand& o) {
    require_apart(o.design, o.json, o.csv);
    require_apart(o.design, o.plot, o.json);
    require_apart("", o.plot, o.csv);
    const Materials materials = material_table(o.materials, {o.json, o.csv, o.plot});
    const Device device =
        as_released(design_or_device(o.design, o.device).with(settings_of(o.solve)), materials, o.limits);
    require_kept(files_behind(o.design, device), {o.json, o.csv, o.plot});
    deliver({o.json, o.csv, o.plot, o.quiet, o.explain}, see_watched(device, materials, o));
}

}  // namespace

void add_cavity(CLI::App& app) {
    const auto o = std::make_shared<CavityCommand>();
    CLI::App* command =
        app.add_subcommand("cavity", "the film in its cavity: coupling, loss, cooling, limits, noise of all modes");
    command->add_option("DESIGN", o->design, "design file (TOML) with a section [cavity]")->required();
    add_device_option(*command, o->device);
    add_json(*command, o->json);
    command->add_option("--csv", o->csv, "write the mode table as CSV to this file, - for standard output");
    command->add_option("--plot", o->plot,
                        "draw coupling and kappa along half a wavelength as SVG into this file, - for standard output");
    add_solve_options(*command, o->solve);
    add_memory_limit(*command, o->memory_limit);
    add_read_options(*command, o->limits);
    add_materials(*command, o->materials);
    add_quiet(*command, o->quiet);
    add_explain(*command, o->explain);
    command->footer("Example: tymbal cavity examples/cavity.toml --plot cavity.svg");
    command->callback([o] { run_cavity(*o); });
}

}  // namespace tymbal
