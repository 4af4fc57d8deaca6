// How --help is laid out: descriptions broken into lines that fit the terminal.
#pragma once

#include <CLI/CLI.hpp>

namespace tymbal {

class Help : public CLI::Formatter {
public:
    [[nodiscard]] std::string make_option_desc(const CLI::Option* option) const override;
    [[nodiscard]] std::string make_subcommand(const CLI::App* command) const override;
    [[nodiscard]] std::string make_description(const CLI::App* app) const override;
};

}  // namespace tymbal
