#include "tymbal/read/changed_design.h"

#include "../text/csv.h"
#include "../text/toml_table.h"
#include "../text/toml_text.h"
#include "design_lines.h"

#include "tymbal/base/error.h"
#include "tymbal/read/design.h"
#include "tymbal/read/design_keys.h"
#include "tymbal/text/whole_file.h"

#include <algorithm>
#include <utility>
#include <vector>

namespace tymbal {

namespace {

/// The deviation that a written quantity has, SI.
std::optional<double> deviation_of(const std::string& old, const Change& change, Kind kind) {
    if (old.empty()) return std::nullopt;
    const toml::value value = parse_toml("v = " + old, change.key).at("v");
    if (!value.is_string()) return std::nullopt;
    const ParsedQuantity before = parse_quantity(value.as_string().str, kind);
    return before.has_deviation ? std::optional<double>(before.deviation) : std::nullopt;
}

/// First place and length of each text between quotes, comments passed over.
std::vector<std::pair<std::size_t, std::size_t>> quoted_texts(const std::string& list) {
    std::vector<std::pair<std::size_t, std::size_t>> out;
    for (std::size_t at = 0; at < list.size(); ++at) {
        if (list[at] == '#') at = std::min(list.find('\n', at), list.size());
        if (at >= list.size() || (list[at] != '"' && list[at] != '\'')) continue;
        const std::size_t end = list.find(list[at], at + 1);
        if (end == std::string::npos) return {};
        out.emplace_back(at + 1, end - at - 1);
        at = end;
    }
    return out;
}

/// The list as the file has it, lines, comments and quotes kept, with the values of another; that other one where it
/// has more or fewer, or none between quotes.
std::string exchanged(const std::string& old, const std::string& list) {
    const auto here = quoted_texts(old), there = quoted_texts(list);
    if (there.empty() || here.size() != there.size()) return list;
    std::string out = old;
    for (std::size_t k = here.size(); k-- > 0;)
        out.replace(here[k].first, here[k].second, list, there[k].first, there[k].second);
    return out;
}

/// The new value as the file writes it, in the quotes and with the deviation that the old one had.
std::string written(const Change& change, const std::string& old) {
    const DesignKey& key = changeable_key(change.key);
    const std::size_t first_quote = old.find_first_of("\"'");
    const char quote = first_quote == std::string::npos ? '"' : old[first_quote];
    if (const std::string list = toml_list(change, quote); !list.empty()) return exchanged(old, list);
    const double* si = std::get_if<double>(&change.value);
    if (si != nullptr && !key.kind) return shortest(*si);
    if (si == nullptr) return quoted_like(old, value_text(change));
    if (*key.kind == Kind::ratio && first_quote == std::string::npos) return value_text(change);
    return quoted_like(old, value_text(change, deviation_of(old, change, *key.kind)));
}

}  // namespace

std::string changed_design(const std::string& path, const Changes& changes, const Materials& materials,
                           const ReadLimits& limits) {
    const std::string before = read_whole(path);
    (void)parse_toml(before, path);
    TomlText file(before);
    for (const Change& change : changes) {
        if (is_derived_key(change.key))
            throw InputError({path, 0}, change.key,
                             "stands for many lengths, which are not written into a design; take them from the table");
        const KeyPath path_to = key_path(change.key);
        const std::string section = path_to.place();
        file.set(section, path_to.key, written(change, file.value(section, path_to.key)));
    }
    (void)as_released(parse_design(file.text(), path + " with the changes"), materials, limits);
    return file.text();
}

}  // namespace tymbal
