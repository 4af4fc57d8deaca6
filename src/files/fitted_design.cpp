#include "tymbal/files/write_compare.h"

#include "tymbal/base/error.h"

#include <array>
#include <cstdio>
#include <sstream>
#include <vector>

namespace tymbal {

namespace {

std::string printed(const char* format, double a, double b) {
    std::array<char, 128> text{};
    std::snprintf(text.data(), text.size(), format, a, b);
    return text.data();
}

std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> lines;
    std::istringstream in(text);
    for (std::string line; std::getline(in, line);) {
        if (!line.empty() && line.back() == '\r') line.pop_back();
        lines.push_back(line);
    }
    return lines;
}

std::string squeezed(const std::string& line) {
    std::string out;
    for (const char c : line)
        if (c != ' ' && c != '\t') out.push_back(c);
    return out;
}

/// True when the line sets this key of the section it stands in.
bool sets(const std::string& line, const std::string& key) {
    const std::string text = squeezed(line);
    return text.rfind(key + "=", 0) == 0 || text.rfind("\"" + key + "\"=", 0) == 0;
}

/// A line's comment, from its # on; design values hold none.
std::string comment_of(const std::string& line) {
    bool quoted = false;
    for (std::size_t k = 0; k < line.size(); ++k) {
        if (line[k] == '"') quoted = !quoted;
        if (line[k] == '#' && !quoted) return line.substr(k);
    }
    return "";
}

}  // namespace

std::string fitted_design(const std::string& text, const Comparison& c) {
    if (c.values.empty())
        throw InputError({}, "--write-design", "needs a fitted film, and a single ringdown carries none; leave it out");
    const FittedValue& stress = c.values.front();
    const DeviceComparison& device = c.devices.front();
    std::string block = printed("stress = \"%.6g +- %.2g MPa\"  # fitted to measured lines, other inputs as here",
                                1e-6 * c.stress_alone_pa, 1e-6 * stress.deviation);
    block += printed("\nstress_temperature = \"%.6g K\"", c.temperature_k, 0.0);
    for (const FittedValue& v : c.values)
        if (v.name == "film.tilt")
            block += printed(
                "\n# the lines ask for unequal stress: (s_x - s_y)/(s_x + s_y) = %.4f +- %.4f; a design "
                "has one stress, their mean",
                v.fitted, v.deviation);
    std::string out;
    bool in_film = false, done = false;
    for (const std::string& line : lines_of(text)) {
        const std::string plain = squeezed(line);
        if (plain.rfind('[', 0) == 0) in_film = plain.rfind("[film]", 0) == 0;
        if (in_film && (sets(line, "stress") || sets(line, "stress_temperature"))) {
            const std::string comment = comment_of(line);
            if (!comment.empty()) out.append(comment).append("\n");
            continue;
        }
        out.append(line).append("\n");
        if (in_film && !done) out.append(block).append("\n");
        done = done || in_film;
    }
    if (!done)
        throw InputError({device.design_file, 0}, "film",
                         "is not written as a section that begins with a line [film]; --write-design changes only "
                         "such a one");
    return out;
}

}  // namespace tymbal
