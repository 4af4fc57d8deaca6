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

std::optional<std::size_t> find_mode(const std::vector<Mode>& modes, const std::string& name) {
    std::string word = name;
    word.erase(std::remove(word.begin(), word.end(), ' '), word.end());
    const std::optional<int> number = word.empty() ? std::optional<int>(1) : whole_number(word);
    const std::string label = word.empty() ? "" : with_brackets(name.front() == '#' ? name : word);
    const auto found = std::find_if(modes.begin(), modes.end(), [&](const Mode& mode) {
        return number ? mode.index == *number : mode.label == label;
    });
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
