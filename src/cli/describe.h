// What the program says of itself to shells and manuals, made from its own options so that it is always true.
#pragma once

#include <CLI/CLI.hpp>

#include <ostream>
#include <string>
#include <vector>

namespace tymbal {

/// One option of a command.
struct SaidOption {
    std::string name;  ///< "--json", or that of a positional, "DESIGN"
    std::string about;
    bool positional = false, value = false, several = false, common = false;
    std::string value_name;
    std::vector<std::string> choices;  ///< when its value is one of a few words
};

struct SaidCommand {
    std::string name, about, footer;
    std::vector<SaidOption> options;
};

/// The commands that help lists, in its order.
[[nodiscard]] std::vector<SaidCommand> said_commands(const CLI::App& app);

void write_bash_completion(std::ostream& out, const std::vector<SaidCommand>& commands);
void write_zsh_completion(std::ostream& out, const std::vector<SaidCommand>& commands);
void write_manual(std::ostream& out, const std::vector<SaidCommand>& commands);

}  // namespace tymbal
