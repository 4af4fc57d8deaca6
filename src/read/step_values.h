// The values that a step file may give: names, kinds, meanings and ranges beside design keys, and the ranges of those.
#pragma once

#include "design_table.h"

#include "tymbal/base/material.h"
#include "tymbal/base/parse_quantity.h"

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace tymbal {

struct StepValue {
    const char* name;
    std::optional<Kind> kind;  ///< empty: text
    const char* meaning;
    Range range{};                        ///< of a quantity
    std::vector<std::string> accepted{};  ///< of a text; empty: any
};

[[nodiscard]] std::span<const StepValue> step_values();
[[nodiscard]] const StepValue* find_step_value(const std::string& name);
[[nodiscard]] std::vector<std::string> step_value_names();

/// What the reader of designs takes for a quantity "section.name". @param kind  of that key
[[nodiscard]] Range design_range(const std::string& full, Kind kind);
/// Words that a design's text may be; empty: any.
[[nodiscard]] std::vector<std::string> design_words(const std::string& full);
/// Rows of the material table that a design's text may name; empty: it names none.
[[nodiscard]] std::vector<std::string> design_rows(const std::string& full, const Materials& materials);

}  // namespace tymbal
