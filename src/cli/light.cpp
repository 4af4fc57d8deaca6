#include "chip.h"
#include "commands.h"
#include "forms.h"
#include "output.h"
#include "solve_options.h"
#include "terminal.h"

#include "tymbal/base/error.h"
#include "tymbal/print/write_light.h"
#include "tymbal/read/design.h"
#include "tymbal/task/tune_line.h"

#include <memory>

namespace tymbal {

namespace {

struct LightCommand {
    std::string design, device, json, csv, plot, materials, range, tune, line;
    ReadLimits limits;
    bool quiet = false, explain = false;
};

/// "FROM..TO", two lengths.
WavelengthRange range_of(const std::string& text) {
    const std::size_t dots = text.find("..");
    if (dots == std::string::npos)
        throw InputError({}, "--wavelength", "is '" + text + "'; accepted: FROM..TO, e.g. '1500 nm..1600 nm'");
    const WavelengthRange range{length_option("--wavelength", text.substr(0, dots)),
                                length_option("--wavelength", text.substr(dots + 2))};
    if (range.to_m <= range.from_m)
        throw InputError({}, "--wavelength", "is '" + text + "', which does not rise; accepted: FROM..TO");
    return range;
}

TuneRequest request_of(const LightCommand& o) {
    TuneRequest request{length_option("--tune", o.tune)};
    if (!o.line.empty()) request.measured_m = length_option("--line", o.line);
    return request;
}

Device read(const LightCommand& o, const Materials& materials) {
    Device device = as_released(design_or_device(o.design, o.device), materials, o.limits);
    require_kept(files_behind(o.design, device), {o.json, o.csv, o.plot});
    return device;
}

void run_tune(const LightCommand& o) {
    if (!o.csv.empty() || !o.plot.empty() || !o.range.empty() || o.explain)
        throw InputError({}, "--tune", "stands alone or beside --line and --json; it has no spectrum");
    const Materials materials = material_table(o.materials, {o.json, o.csv, o.plot});
    const TuneReport report = tune_line(read(o, materials), materials, request_of(o));
    write_to(o.json, [&](std::ostream& out) { write_json(out, report); });
    if (o.quiet || o.json == "-") return;
    show([&](std::ostream& out) { write_table(out, report); });
}

void run_light(const LightCommand& o) {
    require_apart(o.design, o.json, o.csv);
    require_apart(o.design, o.plot, o.json);
    require_apart("", o.plot, o.csv);
    if (!o.tune.empty()) return run_tune(o);
    if (!o.line.empty()) throw InputError({}, "--line", "needs --tune, the wavelength to which the line shall come");
    LightOptions options;
    if (!o.range.empty()) options.range = range_of(o.range);
    const Materials materials = material_table(o.materials, {o.json, o.csv, o.plot});
    deliver({o.json, o.csv, o.plot, o.quiet, o.explain}, light(read(o, materials), materials, options));
}

}  // namespace

void add_light(CLI::App& app) {
    const auto o = std::make_shared<LightCommand>();
    CLI::App* command = app.add_subcommand(
        "light", "what the released film with its holes does to light: mirror, lines, spot, spectrum");
    command->add_option("DESIGN", o->design, "design file (TOML)")->required();
    add_device_option(*command, o->device);
    add_json(*command, o->json);
    command->add_option("--csv", o->csv, "write the spectrum as CSV to this file, - for standard output");
    command
        ->add_option(
            "--wavelength", o->range,
            "FROM..TO of lines and spectrum, e.g. '1500 nm..1600 nm'; default from the diffraction limit to half "
            "as long again")
        ->type_name("RANGE");
    command->add_option("--plot", o->plot, "draw the spectrum as SVG into this file, - for standard output");
    command
        ->add_option("--tune", o->tune,
                     "how long in which bath brings a line to this wavelength, e.g. '1550 nm', and what film is left")
        ->type_name("WAVELENGTH");
    command->add_option("--line", o->line, "with --tune: where the line was measured, e.g. '1556 nm'")
        ->type_name("WAVELENGTH");
    add_read_options(*command, o->limits);
    add_materials(*command, o->materials);
    add_quiet(*command, o->quiet);
    add_explain(*command, o->explain);
    command->footer("Example: tymbal light examples/perforated-square.toml --csv spectrum.csv");
    command->callback([o] { run_light(*o); });
}

}  // namespace tymbal
