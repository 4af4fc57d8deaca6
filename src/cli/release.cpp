#include "chip.h"
#include "commands.h"
#include "output.h"
#include "recording.h"
#include "solve_options.h"
#include "terminal.h"
#include "waiting.h"

#include "tymbal/base/error.h"
#include "tymbal/print/write_release.h"
#include "tymbal/read/design.h"
#include "tymbal/read/read_chip.h"
#include "tymbal/task/record.h"

#include <iostream>
#include <memory>

namespace tymbal {

namespace {

struct ReleaseOptions {
    std::string design, json, sheet, materials;
    ReadLimits limits;
    Recording recording;
    bool quiet = false, explain = false;
};

void run_release(const ReleaseOptions& o) {
    require_apart(o.design, o.json, o.sheet);
    require_recordable(o.recording, o.design, {o.json, o.sheet});
    if (is_chip_file(o.design)) {
        if (o.explain) throw InputError({o.design, 0}, "--explain", "is for one design; this is a chip file");
        ChipRun run{o.design, o.json, "", o.sheet, o.materials, {}, o.limits, o.recording};
        run.quiet = o.quiet;
        return run_release_chip(run);
    }
    const Materials materials = material_table(o.materials, {o.json, o.sheet});
    const Device device = waited(!o.quiet, [&] { return as_released(read_design(o.design), materials, o.limits); });
    require_kept(files_of(device), {o.json, o.sheet});
    const ReleaseReport report =
        waited_with_bar(!o.quiet, [&](const Progressed& told) { return release(device, materials, told); });
    write_to(o.json, [&](std::ostream& out) { write_json(out, report); });
    write_to(o.sheet, [&](std::ostream& out) { write_run_sheet(out, report); });
    record_entries(o.recording, {{o.design, {planned(report)}}}, materials, o.limits, o.quiet);
    if (o.quiet || o.json == "-" || o.sheet == "-") return;
    show([&](std::ostream& out) { write_table(out, report); });
    if (o.explain) show([&](std::ostream& out) { write_explanation(out, report); });
}

}  // namespace

void add_release(CLI::App& app) {
    const auto o = std::make_shared<ReleaseOptions>();
    CLI::App* command = app.add_subcommand(
        "release", "undercut front, area set free, etch time and window, film loss, drying and collapse margins");
    command
        ->add_option("DESIGN", o->design,
                     "design file (TOML) with [holes] and [release], or a chip file: one bath for all")
        ->required();
    add_json(*command, o->json);
    command->add_option("--run-sheet", o->sheet, "write a printable page for the clean room (HTML) to this file");
    add_recording(*command, o->recording);
    add_read_options(*command, o->limits);
    add_materials(*command, o->materials);
    add_quiet(*command, o->quiet);
    add_explain(*command, o->explain);
    command->footer("Example: tymbal release examples/hole-field.toml --run-sheet sheet.html");
    command->callback([o] { run_release(*o); });
}

}  // namespace tymbal
