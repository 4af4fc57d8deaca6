#include "tymbal/files/read_wafer.h"

#include "toml_table.h"

#include "tymbal/base/error.h"
#include "tymbal/files/read_design.h"

#include <algorithm>
#include <cstdio>
#include <sstream>
#include <vector>

namespace tymbal {

namespace {

std::string quantity(double value, double deviation, double unit, const char* name) {
    char text[96];
    const char* const space = *name == '\0' ? "" : " ";
    std::snprintf(text, sizeof text, "\"%.6g +- %.3g%s%s\"", value / unit, deviation / unit, space, name);
    return text;
}

std::string trimmed(const std::string& line) {
    const auto from = line.find_first_not_of(" \t");
    return from == std::string::npos ? "" : line.substr(from, line.find_last_not_of(" \t\r") - from + 1);
}

/// Does the line begin the section [film], blanks in the brackets or not?
bool begins_film(std::string line) {
    line.erase(std::remove_if(line.begin(), line.end(), [](char c) { return c == ' ' || c == '\t'; }), line.end());
    return line.rfind("[film]", 0) == 0;
}

/// Does the line give this key?
bool gives(const std::string& line, const std::string& key) {
    const std::string text = trimmed(line);
    if (text.rfind(key, 0) != 0) return false;
    const auto rest = text.find_first_not_of(" \t", key.size());
    return rest != std::string::npos && text[rest] == '=';
}

std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> lines;
    std::istringstream in(text);
    for (std::string line; std::getline(in, line);) lines.push_back(line);
    return lines;
}

}  // namespace

std::string design_with_film(const std::string& path, const WaferFilm& film, const Materials& materials,
                             const ReadLimits& limits) {
    const bool indexed = index_fits(film, read_design(path, materials, limits));
    std::vector<std::string> added{
        "# from the wafer's shape, SHA-256 " + film.sha256.substr(0, 16),
        "thickness = " + quantity(film.thickness_m, film.thickness_std_m, 1e-9, "nm"),
        "stress = " + quantity(film.stress.stress_pa, film.stress.stress_std_pa, 1e6, "MPa")};
    if (indexed) added.push_back("index = " + quantity(*film.index, film.index_std.value_or(0.0), 1.0, ""));
    std::string out;
    bool inside = false, placed = false;
    for (const std::string& line : lines_of(read_text(path))) {
        const std::string text = trimmed(line);
        if (!text.empty() && text.front() == '[') inside = begins_film(text);
        // A stress temperature belonged to the old stress; the wafer was measured at room temperature, the default.
        const bool old = gives(line, "thickness") || gives(line, "stress") || gives(line, "stress_temperature") ||
                         (indexed && gives(line, "index"));
        if (inside && old) continue;
        out.append(line).append("\n");
        if (!inside || placed || !begins_film(text)) continue;
        for (const std::string& own : added) out.append(own).append("\n");
        placed = true;
    }
    if (!placed)
        throw InputError({path, 0}, "film",
                         "is not written as a section that begins with a line [film], so the wafer's film cannot be "
                         "put in; write it so");
    (void)parse_design(out, path + " with the wafer's film", materials, {}, limits);
    return out;
}

}  // namespace tymbal
