#include "chip.h"
#include "commands.h"
#include "output.h"
#include "solve_options.h"
#include "waiting.h"

#include "tymbal/base/error.h"
#include "tymbal/page/write_report.h"
#include "tymbal/read/design.h"
#include "tymbal/read/read_chip.h"
#include "tymbal/read/read_measured.h"
#include "tymbal/text/whole_file.h"

#include <iostream>
#include <memory>

namespace tymbal {

namespace {

struct ReportOptions {
    std::string design, out, measured, sweep, materials;
    SolveOptions solve;
    ReadLimits limits;
    Recording recording;
    int sweep_mode = 1;
    bool quiet = false;
};

std::optional<ReportedSweep> read_sweep(const ReportOptions& o) {
    if (o.sweep.empty()) return std::nullopt;
    ReportedSweep sweep{parse_sweep(read_whole(o.sweep), o.sweep), o.sweep_mode};
    if (!sweep.table.has("label_" + std::to_string(o.sweep_mode)))
        throw InputError({o.sweep, 0}, "--sweep-mode",
                         "is " + std::to_string(o.sweep_mode) +
                             ", and the sweep has no mode of that place; solve it with more --modes");
    sweep.table.sort();
    return sweep;
}

void run_chip(const ReportOptions& o) {
    for (const auto& [option, value] : {std::pair("--measured", o.measured), std::pair("--sweep", o.sweep)})
        if (!value.empty()) throw InputError({o.design, 0}, option, "is for one design; this is a chip file");
    run_report_chip({o.design, "", "", "", o.materials, o.solve, o.limits, o.recording, 1e3, o.quiet}, o.out);
}

void run_report(const ReportOptions& o) {
    for (const std::string& input : {o.design, o.measured, o.sweep, o.recording.file}) require_apart(input, o.out, "");
    if (is_chip_file(o.design)) return run_chip(o);
    if (!o.recording.file.empty()) throw InputError({o.design, 0}, "--record", "is for chip files; this is one design");
    const Materials materials = material_table(o.materials, {o.out});
    const Device device = as_released(read_design(o.design).with(settings_of(o.solve)), materials, o.limits);
    require_kept(files_of(device), {o.out});
    const std::optional<ReportedSweep> sweep = read_sweep(o);
    std::optional<Measured> measured;
    if (!o.measured.empty()) measured = read_measured(o.measured, {});
    const Report result = waited_with_bar(
        !o.quiet, [&](const Progressed& told) { return report(device, materials, measured, {}, told); });
    write_to(o.out, [&](std::ostream& out) { write_report(out, result, sweep); });
    if (!o.quiet && o.out != "-")
        std::cout << o.out << ": " << result.prediction.modes.size()
                  << " modes, warnings: " << result.prediction.warnings.size() << '\n';
}

}  // namespace

void add_report(CLI::App& app) {
    const auto o = std::make_shared<ReportOptions>();
    CLI::App* command = app.add_subcommand(
        "report", "one page of HTML: a design with its modes, stress and losses, or a chip with its devices");
    command->add_option("DESIGN", o->design, "design or chip file (TOML)")->required();
    command->add_option("--out", o->out, "file to write (HTML), - for standard output")->required();
    command->add_option("--measured", o->measured, "peak list, spectrum or ringdown (CSV), compared with the design");
    command->add_option("--sweep", o->sweep, "table that `tymbal sweep --csv` wrote, shown as curves");
    command->add_option("--sweep-mode", o->sweep_mode, "number of the sweep's mode to draw; default 1")
        ->check(between(1, 200));
    command->add_option("--record", o->recording.file, "record whose knowledge of the chip is shown")
        ->type_name("FILE");
    command->add_option("--record-chip", o->recording.chip, "name of the chip there; default: drawn from this file")
        ->type_name("NAME");
    add_solve_options(*command, o->solve);
    add_read_options(*command, o->limits);
    add_materials(*command, o->materials);
    add_quiet(*command, o->quiet);
    command->footer("Example: tymbal report examples/perforated-square.toml --out report.html");
    command->callback([o] { run_report(*o); });
}

}  // namespace tymbal
