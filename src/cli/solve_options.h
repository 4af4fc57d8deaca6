// Options that several commands share: how a design is read and solved, what is printed, and frequencies as texts.
#pragma once

#include "tymbal/read/design.h"

#include <CLI/CLI.hpp>

#include <string>

namespace tymbal {

struct SolveOptions {
    std::string model, light;
    int modes = 0;
    double accuracy = 0.0;
};

/// The group of options that mean the same wherever they stand; `tymbal help` describes them once, for all commands.
inline constexpr const char* common_group = "Common options";

/// Refuses what is no number from low to high, nan too (CLI::Range lets that pass).
[[nodiscard]] CLI::Validator between(double low, double high);

void add_json(CLI::App& command, std::string& target);
void add_materials(CLI::App& command, std::string& folder);
void add_quiet(CLI::App& command, bool& quiet);
void add_explain(CLI::App& command, bool& explain);

/// --model, --light, --modes and --accuracy.
void add_solve_options(CLI::App& command, SolveOptions& options);

/// --most-holes and --hole-file.
void add_read_options(CLI::App& command, ReadLimits& limits);

/// What was given, as changes of the design's [solve].
[[nodiscard]] Changes settings_of(const SolveOptions& options);

/// @throws InputError naming the option when the text is no frequency above zero
[[nodiscard]] double frequency_option(const std::string& option, const std::string& text);
/// Likewise for a length, m.
[[nodiscard]] double length_option(const std::string& option, const std::string& text);

}  // namespace tymbal
