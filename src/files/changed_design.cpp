#include "tymbal/files/changed_design.h"

#include "csv.h"
#include "design_lines.h"

#include "tymbal/base/error.h"
#include "tymbal/files/design_keys.h"
#include "tymbal/files/read_design.h"
#include "tymbal/files/whole_file.h"

#include <sstream>
#include <vector>

namespace tymbal {

namespace {

std::string squeezed(const std::string& line) {
    std::string out;
    for (const char c : line)
        if (c != ' ' && c != '\t' && c != '\r') out.push_back(c);
    return out;
}

/// Where a line's comment begins; its length when it has none.
std::size_t comment_at(const std::string& line) {
    bool quoted = false;
    for (std::size_t k = 0; k < line.size(); ++k) {
        if (line[k] == '"') quoted = !quoted;
        if (line[k] == '#' && !quoted) return k;
    }
    return line.size();
}

/// The new value as the file writes it, with the deviation that the old text had.
std::string written(const Change& change, const std::string& old) {
    const DesignKey& key = changeable_key(change.key);
    const double* si = std::get_if<double>(&change.value);
    if (si != nullptr && !key.kind) return shortest(*si);
    std::string text = value_text(change);
    const std::size_t from = old.find('"'), to = old.rfind('"');
    const bool quoted = from != std::string::npos && to > from;
    if (si != nullptr && quoted) {
        const ParsedQuantity before = parse_quantity(old.substr(from + 1, to - from - 1), *key.kind);
        const std::string spread = value_text({change.key, before.deviation});
        const std::size_t unit = text.find(' ');
        if (before.has_deviation)
            text = text.substr(0, unit)
                       .append(" +- ")
                       .append(spread.substr(0, spread.find(' ')))
                       .append(unit == std::string::npos ? "" : text.substr(unit));
    }
    const bool bare = si != nullptr && *key.kind == Kind::ratio && !quoted;
    return bare ? text : std::string("\"").append(text).append("\"");
}

/// Lines of the file that gives the changed key a new value. @return false when the section is not there
bool put(std::vector<std::string>& lines, const Change& change) {
    const DesignKey& key = changeable_key(change.key);
    const std::string heading = std::string("[").append(key.section).append("]");
    std::size_t begin = lines.size();
    for (std::size_t k = 0; k < lines.size(); ++k) {
        const std::string plain = squeezed(lines[k]);
        if (plain.rfind('[', 0) == 0 && begin < k) break;
        if (plain.rfind(heading, 0) == 0) begin = k;
        if (begin >= k || plain.rfind(std::string(key.name) + "=", 0) != 0) continue;
        const std::size_t value = lines[k].find('=') + 1, comment = comment_at(lines[k]);
        const std::string old = lines[k].substr(value, comment - value);
        std::string line = lines[k].substr(0, value).append(" ").append(written(change, old));
        if (comment < lines[k].size()) line.append("  ").append(lines[k].substr(comment));
        lines[k] = line;
        return true;
    }
    if (begin == lines.size()) return false;
    lines.insert(lines.begin() + static_cast<std::ptrdiff_t>(begin) + 1,
                 std::string(key.name).append(" = ").append(written(change, "")));
    return true;
}

}  // namespace

std::string changed_design(const std::string& path, const Changes& changes, const Materials& materials) {
    std::vector<std::string> lines;
    std::istringstream in(read_whole(path));
    for (std::string line; std::getline(in, line);) lines.push_back(line);
    for (const Change& change : changes) {
        if (is_derived_key(change.key))
            throw InputError({path, 0}, change.key,
                             "stands for many lengths, which --write-design does not change; take them from the table");
        if (!put(lines, change))
            throw InputError({path, 0}, change.key,
                             std::string("has no section to be put in; give it one that begins with a line [")
                                 .append(changeable_key(change.key).section)
                                 .append("]"));
    }
    std::string text;
    for (const std::string& line : lines) text.append(line).append("\n");
    (void)parse_design(text, path + " with the changes", materials);
    return text;
}

}  // namespace tymbal
