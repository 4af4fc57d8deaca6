// Every key a design file may have: the one table that the reader checks against and the program prints.
#pragma once

#include "tymbal/base/parse_quantity.h"

#include <optional>
#include <span>
#include <string>
#include <vector>

namespace tymbal {

struct DesignKey {
    const char* section;  ///< "" for keys outside any section
    const char* name;
    std::optional<Kind> kind;  ///< quantities only
    bool uncertain = false;    ///< may carry "+- sigma"
    const char* meaning = "";
    const char* fallback = "";  ///< what stands where the key is left out: a value or words; "required", "none"
    const char* example = "";   ///< a value as a design file holds it, texts without their quotes
};

[[nodiscard]] std::span<const DesignKey> design_keys();

/// The row of a key, or nothing.
[[nodiscard]] const DesignKey* find_design_key(const std::string& section, const std::string& name);

/// Names of all keys of a section, for suggestions.
[[nodiscard]] std::vector<std::string> design_key_names(const std::string& section);
[[nodiscard]] std::vector<std::string> design_sections();

/// A key that changes name, taken apart: "openings.2.width" is the section "openings", number 2, key "width".
struct KeyPath {
    std::string section;
    std::size_t number = 0;  ///< of sections that are lists, from 1; 0 for the others
    std::string key;

    [[nodiscard]] std::string place() const;  ///< "openings.2"; the section where it is no list
};

/// @throws InputError when a list's section has no number, or another one has
[[nodiscard]] KeyPath key_path(const std::string& full);

/// The row of a key "section.name" that a sweep, a search or an answer may change: one number or name. Derived keys
/// and keys in lists too. @throws InputError with the nearest key when there is none
[[nodiscard]] const DesignKey& changeable_key(const std::string& full);

/// Whether a section may stand several times in a design: openings and film.layer.
[[nodiscard]] bool is_list_section(const std::string& section);

/// outline.scale, holes.scale (all lengths of the section together) and holes.fill_factor (the hole size at its pitch):
/// not in the file, but ways to change it.
[[nodiscard]] bool is_derived_key(const std::string& full);

/// The table as text for `tymbal predict --keys`.
[[nodiscard]] std::string describe_design_keys();

/// The same as Markdown, one table a section and one of the derived keys.
[[nodiscard]] std::string design_keys_in_markdown();

}  // namespace tymbal
