// The values that a step file may give beside design keys: name, kind, meaning.
#pragma once

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
    std::vector<std::string> accepted{};  ///< of a text; empty: any
};

[[nodiscard]] std::span<const StepValue> step_values();
[[nodiscard]] const StepValue* find_step_value(const std::string& name);
[[nodiscard]] std::vector<std::string> step_value_names();

}  // namespace tymbal
