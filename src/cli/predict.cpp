#include "commands.h"
#include "output.h"
#include "solve_options.h"

#include "tymbal/base/error.h"
#include "tymbal/files/design_keys.h"
#include "tymbal/files/read_design.h"
#include "tymbal/files/read_materials.h"
#include "tymbal/files/write_json.h"
#include "tymbal/files/write_table.h"
#include "tymbal/task/predict.h"

#include <iostream>
#include <memory>

namespace tymbal {

namespace {

struct PredictOptions {
    std::string design, json, csv, materials;
    SolveOptions solve;
    ReadLimits limits;
    bool quiet = false, explain = false, keys = false;
};

void run_predict(const PredictOptions& o) {
    if (o.keys) {
        std::cout << describe_design_keys();
        return;
    }
    if (o.design.empty())
        throw InputError({}, "DESIGN.toml", "is missing; name a design file, or --keys for the keys it may have");
    require_apart(o.design, o.json, o.csv);
    const Materials materials = read_materials(find_materials(o.materials, own_path()));
    const Design design = vary_design(o.design, materials, o.limits)(settings_of(o.solve));
    const Prediction prediction = predict(design, materials);
    write_to(o.json, [&](std::ostream& out) { write_json(out, prediction); });
    write_to(o.csv, [&](std::ostream& out) { write_csv(out, prediction); });
    if (o.quiet || o.json == "-" || o.csv == "-") return;
    write_table(std::cout, prediction);
    if (o.explain) write_explanation(std::cout, prediction);
}

}  // namespace

void add_predict(CLI::App& app) {
    const auto o = std::make_shared<PredictOptions>();
    CLI::App* command = app.add_subcommand("predict", "effective film, modes, losses and readout figures of a design");
    command->add_option("DESIGN", o->design, "design file (TOML); --keys lists every key it may have");
    command->add_option("--json", o->json, "write the result as JSON to this file, - for standard output");
    command->add_option("--csv", o->csv, "write the mode table as CSV to this file, - for standard output");
    add_solve_options(*command, o->solve);
    add_read_options(*command, o->limits);
    command->add_option("--materials", o->materials, "folder of the material table");
    command->add_flag("--quiet", o->quiet, "no table on standard output");
    command->add_flag("--explain", o->explain, "formula, source and trust of each figure");
    command->add_flag("--keys", o->keys, "list the keys of a design file and leave");
    command->footer("Example: tymbal predict examples/perforated-square.toml --json result.json");
    command->callback([o] { run_predict(*o); });
}

}  // namespace tymbal
