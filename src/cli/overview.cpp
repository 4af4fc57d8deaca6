// `tymbal help COMMAND`; the overview alone is printed before a command is chosen.
#include "commands.h"

#include "tymbal/base/error.h"
#include "tymbal/base/nearest.h"

#include <iostream>
#include <memory>

namespace tymbal {

namespace {

void print_help(const CLI::App& app, const std::string& command) {
    const std::vector<std::string> names = command_names(app);
    const auto found = app.get_subcommands([&](const CLI::App* c) { return c->get_name() == command; });
    if (found.empty())
        throw InputError(
            {}, "",
            "tymbal: '" + command + "' is not a command" + suggestion(command, names) + "; `tymbal help` lists them");
    std::cout << found.front()->help(app.get_name());
}

}  // namespace

std::vector<std::string> command_names(const CLI::App& app) {
    std::vector<std::string> names;
    for (const CLI::App* command : app.get_subcommands([](const CLI::App* c) { return !c->get_group().empty(); }))
        names.push_back(command->get_name());
    return names;
}

void add_help(CLI::App& app) {
    const auto name = std::make_shared<std::string>();
    CLI::App* command = app.add_subcommand("help", "this overview, or one command in full");
    command->add_option("COMMAND", *name, "the command to describe")->required();
    command->footer("Example: tymbal help predict");
    command->callback([name, &app] { print_help(app, *name); });
}

}  // namespace tymbal
