#include "describe.h"

#include "commands.h"
#include "help.h"
#include "output.h"
#include "solve_options.h"

#include "tymbal/read/design_keys.h"

#include <algorithm>
#include <memory>

namespace tymbal {

namespace {

/// The words of "TEXT:{a,b}", which is how an option names the values it may have.
std::vector<std::string> choices_of(const std::string& type) {
    std::vector<std::string> words;
    const std::size_t from = type.find('{'), to = type.find('}');
    if (from == std::string::npos || to == std::string::npos) return words;
    for (std::size_t at = from + 1; at < to;) {
        const std::size_t end = std::min(type.find(',', at), to);
        words.push_back(type.substr(at, end - at));
        at = end + 1;
    }
    return words;
}

SaidOption said(const CLI::Option& option) {
    SaidOption s;
    s.positional = option.get_lnames().empty();
    s.name = s.positional ? option.get_name(true) : "--" + option.get_lnames().front();
    s.about = option.get_description();
    s.value = option.get_items_expected_max() > 0;
    s.several = option.get_items_expected_max() > 1;
    s.common = option.get_group() == common_group;
    if (s.value && !s.positional) s.value_name = value_name(option);
    s.choices = choices_of(option.get_type_name());
    return s;
}

SaidCommand said(const CLI::App& command) {
    SaidCommand s{command.get_name(), command.get_description(), command.get_footer(), {}};
    for (const CLI::Option* option : command.get_options()) s.options.push_back(said(*option));
    return s;
}

struct DescribeOptions {
    std::string what, out = "-";
};

void run_describe(const DescribeOptions& o, const CLI::App& app) {
    const std::vector<SaidCommand> commands = said_commands(app);
    write_to(o.out, [&](std::ostream& out) {
        if (o.what == "bash") write_bash_completion(out, commands);
        if (o.what == "zsh") write_zsh_completion(out, commands);
        if (o.what == "man") write_manual(out, commands);
        if (o.what == "keys") out << design_keys_in_markdown();
    });
}

}  // namespace

std::vector<SaidCommand> said_commands(const CLI::App& app) {
    std::vector<SaidCommand> all;
    for (const CLI::App* command : app.get_subcommands([](const CLI::App* c) { return !c->get_group().empty(); }))
        all.push_back(said(*command));
    return all;
}

void add_describe(CLI::App& app) {
    const auto o = std::make_shared<DescribeOptions>();
    CLI::App* command = app.add_subcommand(
        "describe", "shell completion, man page or table of design keys, made from the program itself");
    command->group("");  // for installers: help does not list it
    command->add_option("WHAT", o->what, "bash, zsh, man or keys")
        ->required()
        ->check(CLI::IsMember({"bash", "zsh", "man", "keys"}));
    command->add_option("--out", o->out, "file to write; default standard output");
    command->footer("Example: tymbal describe bash --out tymbal.bash");
    command->callback([o, &app] { run_describe(*o, app); });
}

}  // namespace tymbal
