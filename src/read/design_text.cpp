#include "../text/csv.h"
#include "../text/toml_table.h"
#include "written_design.h"

#include "tymbal/read/design.h"

namespace tymbal {

namespace {

/// Numbers that code has put, as the texts that a file has in their place.
toml::value as_in_a_file(const toml::value& value) {
    if (const auto put = quantity_put(value)) {
        std::string text = shortest(put->value);
        if (put->deviation > 0.0) text.append(" +- ").append(shortest(put->deviation));
        const std::string& unit = value.at("unit").as_string().str;
        return text.append(unit.empty() ? "" : " ").append(unit);
    }
    if (value.is_array()) {
        toml::array all;
        for (const toml::value& one : value.as_array()) all.push_back(as_in_a_file(one));
        return all;
    }
    if (!value.is_table()) return value;
    toml::table all;
    for (const auto& [key, one] : value.as_table()) all[key] = as_in_a_file(one);
    return all;
}

}  // namespace

std::string toml_text(const Design& design) {
    return toml::format(as_in_a_file(design.written().root));
}

}  // namespace tymbal
