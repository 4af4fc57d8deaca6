// How --help is laid out: overview, options without the parser's types, descriptions broken to fit the terminal.
#pragma once

#include <CLI/CLI.hpp>

#include <string>

namespace tymbal {

class Help : public CLI::Formatter {
public:
    Help();
    [[nodiscard]] std::string make_option_opts(const CLI::Option* option) const override;
    [[nodiscard]] std::string make_option_desc(const CLI::Option* option) const override;
    [[nodiscard]] std::string make_group(std::string group, bool positional,
                                         std::vector<const CLI::Option*> options) const override;
    [[nodiscard]] std::string make_subcommand(const CLI::App* command) const override;
    [[nodiscard]] std::string make_description(const CLI::App* app) const override;
    [[nodiscard]] std::string make_footer(const CLI::App* app) const override;
};

/// What stands for an option's value: its choices ("point|comma"), "N", "X" or the name that the option was given.
[[nodiscard]] std::string value_name(const CLI::Option& option);

/// Options that several commands have, each once, in the order in which they are met.
[[nodiscard]] std::vector<const CLI::Option*> common_options(const CLI::App& app);

}  // namespace tymbal
