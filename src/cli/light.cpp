#include "commands.h"
#include "output.h"
#include "solve_options.h"
#include "terminal.h"

#include "tymbal/base/error.h"
#include "tymbal/files/design.h"
#include "tymbal/files/read_materials.h"
#include "tymbal/files/write_light.h"
#include "tymbal/task/light.h"

#include <memory>

namespace tymbal {

namespace {

struct LightCommand {
    std::string design, json, csv, materials, range;
    ReadLimits limits;
    bool quiet = false;
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

void run_light(const LightCommand& o) {
    require_apart(o.design, o.json, o.csv);
    LightOptions options;
    if (!o.range.empty()) options.range = range_of(o.range);
    const Materials materials = read_materials(find_materials(o.materials, own_path()));
    const LightReport report = light(as_released(read_design(o.design), materials, o.limits), options);
    write_to(o.json, [&](std::ostream& out) { write_json(out, report); });
    write_to(o.csv, [&](std::ostream& out) { write_csv(out, report); });
    if (o.quiet || o.json == "-" || o.csv == "-") return;
    show([&](std::ostream& out) { write_table(out, report); });
}

}  // namespace

void add_light(CLI::App& app) {
    const auto o = std::make_shared<LightCommand>();
    CLI::App* command = app.add_subcommand(
        "light", "what the released film with its holes does to light: mirror, lines, spot, spectrum");
    command->add_option("DESIGN", o->design, "design file (TOML)")->required();
    add_json(*command, o->json);
    command->add_option("--csv", o->csv, "write the spectrum as CSV to this file, - for standard output");
    command
        ->add_option(
            "--wavelength", o->range,
            "FROM..TO of lines and spectrum, e.g. '1500 nm..1600 nm'; default from the diffraction limit to half "
            "as long again")
        ->type_name("RANGE");
    add_read_options(*command, o->limits);
    add_materials(*command, o->materials);
    add_quiet(*command, o->quiet);
    command->footer("Example: tymbal light examples/perforated-square.toml --csv spectrum.csv");
    command->callback([o] { run_light(*o); });
}

}  // namespace tymbal
