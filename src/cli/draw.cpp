#include "chip.h"
#include "commands.h"
#include "output.h"
#include "solve_options.h"
#include "waiting.h"

#include "tymbal/base/error.h"
#include "tymbal/page/plan_picture.h"
#include "tymbal/read/design.h"
#include "tymbal/read/read_chip.h"

#include <filesystem>
#include <memory>

namespace tymbal {

namespace {

struct DrawOptions {
    std::string design, out, materials;
    ReadLimits limits;
    bool quiet = false;
};

void run_draw(const DrawOptions& o) {
    if (o.out != "-" && std::filesystem::path(o.out).extension() != ".svg")
        throw InputError({}, "--out", "'" + o.out + "' must end in .svg, or be - for standard output");
    require_apart(o.design, "", o.out);
    const Materials materials = material_table(o.materials, {o.out});
    const std::string picture = waited(!o.quiet, [&] {
        if (is_chip_file(o.design)) {
            refuse_hole_file(o.design, o.limits);
            const ChipDesign chip = read_chip(o.design, materials, o.limits);
            require_kept(files_of(chip), {o.out});
            return plan_picture(chip);
        }
        const Device device = as_released(read_design(o.design), materials, o.limits);
        require_kept(files_of(device), {o.out});
        return plan_picture(device);
    });
    write_to(o.out, [&](std::ostream& out) { out << picture; });
}

}  // namespace

void add_draw(CLI::App& app) {
    const auto o = std::make_shared<DrawOptions>();
    CLI::App* command =
        app.add_subcommand("draw", "the picture of a design or chip, to scale, before anything is computed");
    command->add_option("DESIGN", o->design, "design or chip file (TOML)")->required();
    command->add_option("--out", o->out, "picture to write (.svg); - for standard output")->required();
    add_read_options(*command, o->limits);
    add_materials(*command, o->materials);
    add_quiet(*command, o->quiet);
    command->footer("Example: tymbal draw examples/tethered-pad.toml --out pad.svg");
    command->callback([o] { run_draw(*o); });
}

}  // namespace tymbal
