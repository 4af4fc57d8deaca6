#include "commands.h"
#include "output.h"
#include "solve_options.h"

#include "tymbal/base/error.h"
#include "tymbal/read/starters.h"

#include <algorithm>
#include <filesystem>
#include <iostream>
#include <memory>

namespace tymbal {

namespace {

struct NewOptions {
    std::string file, kind = "lattice";
    bool quiet = false;
};

void run_new(const NewOptions& o) {
    if (o.file != "-" && std::filesystem::exists(o.file))
        throw InputError({o.file, 0}, "", "is there already; name a file that is not, nothing is written over");
    const auto all = starters();
    // NOLINTNEXTLINE(readability-qualified-auto): a pointer in some libraries only
    const auto chosen = std::find_if(all.begin(), all.end(), [&](const Starter& s) { return s.name == o.kind; });
    write_to(o.file, [&](std::ostream& out) { out << chosen->text; });
    if (!o.quiet && o.file != "-")
        std::cout << o.file << ": " << chosen->about << "; look at it, change it, then\n  tymbal predict " << o.file
                  << '\n';
}

}  // namespace

void add_new(CLI::App& app) {
    const auto o = std::make_shared<NewOptions>();
    CLI::App* command = app.add_subcommand("new", "a commented design to begin with");
    command->add_option("FILE", o->file, "design file to write (TOML), - for standard output")->required();
    std::vector<std::string> names;
    std::string about = "which one:";
    for (const Starter& s : starters()) {
        names.emplace_back(s.name);
        about.append(names.size() > 1 ? "; " : " ").append(s.name).append(", ").append(s.about);
    }
    command->add_option("--kind", o->kind, about + "; default lattice")->check(CLI::IsMember(names));
    add_quiet(*command, o->quiet);
    command->footer("Example: tymbal new drum.toml --kind window");
    command->callback([o] { run_new(*o); });
}

}  // namespace tymbal
