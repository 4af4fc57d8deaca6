#include "design_table.h"

#include "../text/figures.h"

#include "tymbal/base/nearest.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace tymbal {

DesignSection::DesignSection(TomlTable table, std::string section)
    : table_(std::move(table)), section_(std::move(section)) {
    for (const std::string& key : table_.keys()) {
        if (find_design_key(section_, key) == nullptr)
            table_.refuse(key, "is not a key of [" + section_ + "]" + suggestion(key, design_key_names(section_)));
    }
}

std::string DesignSection::choice(const std::string& key, const std::vector<std::string>& accepted) const {
    const std::string list = comma_list(accepted);
    if (!has(key)) table_.missing(key, "one of: " + list);
    std::string word = text(key);
    if (std::find(accepted.begin(), accepted.end(), word) == accepted.end())
        table_.refuse(key, "is '" + word + "'; accepted: " + list + suggestion(word, accepted));
    return word;
}

Point DesignSection::point(const std::string& key) const {
    if (!has(key)) return {};
    const auto xy = table_.quantities(key, Kind::length, 2);
    for (const double v : xy)
        if (std::abs(v) > 1.0) table_.refuse(key, "lies more than a metre away");
    return {xy[0], xy[1]};
}

ParsedQuantity DesignSection::checked(const std::string& key, const Range& range) const {
    const DesignKey* known = find_design_key(section_, key);
    if (known == nullptr || !known->kind) throw std::logic_error("DesignSection: no quantity named " + key);
    const ParsedQuantity parsed = table_.quantity(key, *known->kind);
    if (parsed.has_deviation && !known->uncertain)
        table_.refuse(key, "takes no uncertainty: it is not carried into the result; give the value alone");
    if (!(parsed.value >= range.low && parsed.value <= range.high))
        table_.refuse(key, "is '" + table_.written(key) + "', out of range; accepted: " + range.words);
    return parsed;
}

}  // namespace tymbal
