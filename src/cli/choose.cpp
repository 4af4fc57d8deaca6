#include "commands.h"
#include "output.h"
#include "solve_options.h"

#include "tymbal/base/error.h"
#include "tymbal/files/read_design.h"
#include "tymbal/files/read_materials.h"
#include "tymbal/files/write_choice.h"
#include "tymbal/task/choose.h"

#include <algorithm>
#include <iostream>
#include <memory>
#include <thread>

namespace tymbal {

namespace {

struct ChooseOptions {
    std::string design, json, csv, materials;
    SolveOptions solve;
    ReadLimits limits;
    int samples = 60;
    unsigned threads = 0;
    bool quiet = false, robust = false;
};

void run_choose(const ChooseOptions& o) {
    require_apart(o.design, o.json, o.csv);
    const Materials materials = read_materials(find_materials(o.materials, own_path()));
    const DesignAt design_at = with_settings(vary_design(o.design, materials, o.limits), settings_of(o.solve));
    const unsigned cores = std::max(1U, std::thread::hardware_concurrency());
    const Choice choice = choose({design_at, materials, o.samples, o.threads > 0 ? o.threads : cores, o.robust});
    write_to(o.json, [&](std::ostream& out) { write_json(out, choice); });
    write_to(o.csv, [&](std::ostream& out) { write_csv(out, choice); });
    if (!o.quiet && o.json != "-" && o.csv != "-") write_table(std::cout, choice);
}

}  // namespace

void add_choose(CLI::App& app) {
    const auto o = std::make_shared<ChooseOptions>();
    CLI::App* command =
        app.add_subcommand("choose", "searches [free] inside [limits]: feasible set, trade-offs, recommended design");
    command->add_option("DESIGN", o->design, "design file (TOML) with [free] and [limits], [target] as a rule")
        ->required();
    command->add_flag("--robust", o->robust,
                      "seek the largest chance to meet the frequency window, not the largest Q f");
    command->add_option("--samples", o->samples, "first designs, spread over the free ranges; default 60")
        ->check(CLI::Range(4, 100000));
    command->add_option("--threads", o->threads, "default: all cores; the numbers are the same")
        ->check(CLI::Range(1, 4096));
    command->add_option("--json", o->json, "write the result as JSON to this file, - for standard output");
    command->add_option("--csv", o->csv, "write the trade-offs as CSV to this file, - for standard output");
    add_solve_options(*command, o->solve);
    add_read_options(*command, o->limits);
    command->add_option("--materials", o->materials, "folder of the material table");
    command->add_flag("--quiet", o->quiet, "no table on standard output");
    command->footer("Example: tymbal choose examples/choose-drum.toml --json choice.json");
    command->callback([o] { run_choose(*o); });
}

}  // namespace tymbal
