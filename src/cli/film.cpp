#include "commands.h"
#include "output.h"
#include "solve_options.h"
#include "terminal.h"
#include "waiting.h"

#include "tymbal/base/error.h"
#include "tymbal/print/write_wafer.h"
#include "tymbal/read/design.h"
#include "tymbal/read/read_wafer.h"
#include "tymbal/task/wafer.h"

#include <iostream>
#include <memory>

namespace tymbal {

namespace {

struct FilmCommand {
    std::string wafer, design, write_design, mode, json, csv, materials;
    ReadLimits limits;
    bool quiet = false, keys = false, explain = false;
};

void check_options(const FilmCommand& o) {
    if (o.wafer.empty())
        throw InputError({}, "WAFER.toml", "is missing; name a wafer file, or --keys for the keys it may have");
    require_apart(o.wafer, o.json, o.csv);
    if (!o.design.empty()) require_apart(o.design, o.json, o.csv);
    if (o.design.empty() && !(o.write_design.empty() && o.mode.empty() && o.csv.empty()))
        throw InputError({}, "--design", "is missing; --write-design, --mode and --csv need a design to start from");
    if (o.write_design.empty()) return;
    require_apart(o.wafer, o.write_design, "");
    require_apart(o.design, o.write_design, "");
    require_apart("", o.write_design, o.json);
    require_apart("", o.write_design, o.csv);
}

void run_film(const FilmCommand& o) {
    if (o.keys) {
        std::cout << describe_wafer_keys();
        return;
    }
    check_options(o);
    const Materials materials = material_table(o.materials, {o.json, o.csv, o.write_design});
    const Wafer wafer = read_wafer(o.wafer, materials);
    WaferFilm film = film_of_wafer(wafer, materials);
    std::string text;
    if (!o.design.empty()) {
        const Device device = as_released(read_design(o.design), materials, o.limits);
        require_kept(files_of(device), {o.json, o.csv, o.write_design});
        if (!wafer.dies.empty()) waited(!o.quiet, [&] { add_forecast(wafer, device, o.mode, film); });
        if (!o.write_design.empty()) text = design_with_film(o.design, film, materials, o.limits);
    }
    write_to(o.json, [&](std::ostream& out) { write_json(out, film); });
    write_to(o.csv, [&](std::ostream& out) { write_csv(out, film); });
    if (!o.write_design.empty()) write_to(o.write_design, [&](std::ostream& out) { out << text; });
    if (o.quiet || o.json == "-" || o.csv == "-" || o.write_design == "-") return;
    show([&](std::ostream& out) { write_table(out, film); });
    if (o.explain) show([&](std::ostream& out) { write_explanation(out, film); });
}

}  // namespace

void add_film(CLI::App& app) {
    const auto o = std::make_shared<FilmCommand>();
    CLI::App* command = app.add_subcommand("film", "film stress from a wafer's bow, and a forecast per die");
    command->add_option("WAFER", o->wafer, "wafer file (TOML); --keys lists every key it may have");
    command->add_option("--design", o->design, "design whose film this is: gives the forecast per die");
    command->add_option("--mode", o->mode, "label of the mode of the forecast; default the lowest");
    command->add_option("--write-design", o->write_design,
                        "write the design with this film to a file, - for standard output");
    add_json(*command, o->json);
    command->add_option("--csv", o->csv, "write the dies as CSV to this file, - for standard output");
    add_read_options(*command, o->limits);
    add_materials(*command, o->materials);
    add_quiet(*command, o->quiet);
    add_explain(*command, o->explain);
    command->add_flag("--keys", o->keys, "list the keys of a wafer file and leave");
    command->footer(
        "Example: tymbal film examples/wafer.toml --design examples/perforated-square.toml --write-design new.toml");
    command->callback([o] { run_film(*o); });
}

}  // namespace tymbal
