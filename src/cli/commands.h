// One function per command: adds its options to the program and runs it when it is chosen.
#pragma once

#include <CLI/CLI.hpp>

#include <string>
#include <vector>

namespace tymbal {

void add_new(CLI::App& app);
void add_predict(CLI::App& app);
void add_size(CLI::App& app);
void add_sweep(CLI::App& app);
void add_choose(CLI::App& app);
void add_release(CLI::App& app);
void add_draw(CLI::App& app);
void add_pattern(CLI::App& app);
void add_film(CLI::App& app);
void add_plan(CLI::App& app);
void add_light(CLI::App& app);
void add_cavity(CLI::App& app);
void add_compare(CLI::App& app);
void add_record(CLI::App& app);
void add_report(CLI::App& app);
void add_materials(CLI::App& app);
void add_guide(CLI::App& app);
void add_help(CLI::App& app);
void add_describe(CLI::App& app);

/// The commands that help lists, in its order.
[[nodiscard]] std::vector<std::string> command_names(const CLI::App& app);

}  // namespace tymbal
