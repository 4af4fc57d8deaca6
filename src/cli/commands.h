// One function per command: adds its options to the program and runs it when it is chosen.
#pragma once

#include <CLI/CLI.hpp>

namespace tymbal {

void add_predict(CLI::App& app);
void add_compare(CLI::App& app);
void add_materials(CLI::App& app);

}  // namespace tymbal
