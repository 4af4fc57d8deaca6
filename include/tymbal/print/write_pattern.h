// A drawn pattern as report for people, as JSON, and as the file for the mask writer.
#pragma once

#include "tymbal/mask/write_gdsii.h"
#include "tymbal/task/pattern.h"

#include <ostream>
#include <string>

namespace tymbal {

void write_table(std::ostream& out, const Pattern& pattern);

/// For each figure: formula and reference; then the inputs with their sources.
void write_explanation(std::ostream& out, const Pattern& pattern);

/// Keys are documented in examples/schema; SI units.
void write_json(std::ostream& out, const Pattern& pattern, const LayerNumbers& layers = usual_layers);

/// The membrane's holes, one a row: centre and drawn size in um, as hole_file.h reads them.
void write_hole_csv(std::ostream& out, const Pattern& pattern);

enum class PatternFormat { gdsii, svg, csv };

/// By the ending of the name: .gds, .svg or .csv. @throws InputError for any other
[[nodiscard]] PatternFormat pattern_format(const std::string& path);

/// @param layers  of a GDSII file
/// @throws NoAnswer when a table of holes is asked for and there are none
void write_pattern(std::ostream& out, const Pattern& pattern, PatternFormat format,
                   const LayerNumbers& layers = usual_layers);

}  // namespace tymbal
