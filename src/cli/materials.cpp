#include "commands.h"
#include "output.h"
#include "solve_options.h"
#include "terminal.h"

#include "tymbal/print/write_json.h"
#include "tymbal/print/write_table.h"

#include <memory>
#include <sstream>

namespace tymbal {

namespace {

struct MaterialsOptions {
    std::string row, json, materials;
    bool quiet = false;
};

}  // namespace

void add_materials(CLI::App& app) {
    const auto o = std::make_shared<MaterialsOptions>();
    CLI::App* command = app.add_subcommand("materials", "the material table, each value with uncertainty and source");
    command->add_option("ROW", o->row, "one row only");
    add_json(*command, o->json);
    add_materials(*command, o->materials);
    add_quiet(*command, o->quiet);
    command->footer("Example: tymbal materials nitride-stoichiometric");
    command->callback([o] {
        const Materials materials = material_table(o->materials, {o->json});
        std::ostringstream text;
        write_materials(text, materials, o->row);  // refuses unknown rows before anything is written
        write_to(o->json, [&](std::ostream& out) { write_json(out, materials, o->row); });
        if (o->json.empty() && !o->quiet) show([&](std::ostream& out) { write_materials(out, materials, o->row); });
    });
}

}  // namespace tymbal
