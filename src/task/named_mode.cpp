#include "tymbal/task/named_mode.h"

#include <algorithm>
#include <charconv>

namespace tymbal {

namespace {

std::string with_brackets(const std::string& name) {
    std::string label;
    if (name.front() == '(' || name.front() == '#') return name;
    return label.append("(").append(name).append(")");
}

std::optional<int> whole_number(const std::string& text) {
    int number = 0;
    const char* const end = text.data() + text.size();
    const auto [stop, error] = std::from_chars(text.data(), end, number);
    return error == std::errc() && stop == end ? std::optional<int>(number) : std::nullopt;
}

}  // namespace

bool has_name(const Mode& mode, const std::string& name) {
    std::string word = name;
    word.erase(std::remove(word.begin(), word.end(), ' '), word.end());
    if (word.empty()) return mode.index == 1;
    if (const std::optional<int> number = whole_number(word)) return mode.index == *number;
    return mode.label == with_brackets(name.front() == '#' ? name : word);
}

std::optional<std::size_t> find_mode(const std::vector<Mode>& modes, const std::string& name) {
    const auto found = std::find_if(modes.begin(), modes.end(), [&](const Mode& mode) { return has_name(mode, name); });
    if (found == modes.end()) return std::nullopt;
    return static_cast<std::size_t>(found - modes.begin());
}

std::string lasting_name(const Mode& mode) {
    return mode.label.front() == '(' ? mode.label : std::to_string(mode.index);
}

std::string list_labels(const std::vector<Mode>& modes) {
    std::string list;
    for (const Mode& mode : modes) list.append(list.empty() ? "" : ", ").append(mode.label);
    return list;
}

}  // namespace tymbal
