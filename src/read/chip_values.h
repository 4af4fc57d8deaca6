// Whether a chip and its designs say the same.
#pragma once

#include <toml.hpp>

#include <string>

namespace tymbal {

/// "100 nm" is "0.1 um"; a deviation belongs to the value. @param section, key  of a design, whose unit decides
[[nodiscard]] bool same_value(const toml::value& a, const toml::value& b, const std::string& section,
                              const std::string& key);

}  // namespace tymbal
