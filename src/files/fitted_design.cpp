#include "tymbal/files/write_compare.h"

#include "tymbal/base/error.h"

#include <algorithm>
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

/// What goes below the heading of a section, and the keys whose old lines go.
struct Block {
    std::string section, lines;
    std::vector<std::string> replaced;
};

/// Sections in the order in which the film's values name them.
Block& block_of(std::vector<Block>& blocks, const std::string& section) {
    for (Block& block : blocks)
        if (block.section == section) return block;
    blocks.push_back({section, "", {}});
    return blocks.back();
}

/// "958 +- 19 MPa", in the units of the trade.
std::string quantity(const WrittenValue& v) {
    if (v.second) return printed("[\"%.7g um\", \"%.7g um\"]", 1e6 * v.value, 1e6 * *v.second);
    const bool stress = v.key == "film.stress";
    const double unit = stress ? 1e6 : 1e-6;
    std::string text = v.deviation > 0.0 ? printed("\"%.7g +- %.2g", v.value / unit, v.deviation / unit)
                                         : printed("\"%.7g", v.value / unit, 0.0);
    return text.append(stress ? " MPa\"" : " um\"");
}

std::vector<Block> blocks_of(const Comparison& c, const DeviceComparison& device) {
    std::vector<Block> blocks;
    for (const WrittenValue& v : device.written) {
        const std::size_t dot = v.key.find('.');
        const std::string key = v.key.substr(dot + 1);
        Block& block = block_of(blocks, v.key.substr(0, dot));
        block.replaced.push_back(key);
        const bool place = v.key == "holes.margin" || v.key == "holes.field";
        block.lines.append(key).append(" = ").append(quantity(v));
        block.lines.append(place ? "  # the same holes on their sites" : "  # fitted to measured lines");
        block.lines.append(v.key == "film.stress" ? ", other inputs as here\n" : "\n");
        if (v.key == "film.stress") {
            block.lines.append(printed("stress_temperature = \"%.6g K\"\n", c.temperature_k, 0.0));
            block.replaced.emplace_back("stress_temperature");
        }
        if (v.key == "release.undercut") block.replaced.emplace_back("time");  // one follows from the other
    }
    return blocks;
}

/// What a design cannot say, as comments below [film].
std::string left_out(const Comparison& c, const DeviceComparison& device) {
    std::string text;
    for (const FittedValue& v : c.values)
        if (v.name == "film.tilt")
            text += printed(
                "# the lines ask for unequal stress: (s_x - s_y)/(s_x + s_y) = %.4f +- %.4f; a design "
                "has one stress, their mean\n",
                v.fitted, v.deviation);
    if (device.over_etch_m != 0.0)
        text += printed("# the lines ask for edges %.4g um further out, which no key of a polygon says\n",
                        1e6 * device.over_etch_m, 0.0);
    return text;
}

/// The section that a heading begins, as "[film]" or "[ film ]"; empty for other lines.
std::string heading(const std::string& line) {
    const std::string plain = squeezed(line);
    const std::size_t end = plain.find(']');
    return plain.rfind('[', 0) == 0 && end != std::string::npos ? plain.substr(1, end - 1) : "";
}

bool is_replaced(const std::string& line, const Block& block) {
    return std::any_of(block.replaced.begin(), block.replaced.end(),
                       [&](const std::string& key) { return sets(line, key); });
}

}  // namespace

std::string fitted_design(const std::string& text, const Comparison& c, std::size_t which) {
    if (c.values.empty())
        throw InputError({}, "--write-design", "needs a fitted film, and a single ringdown carries none; leave it out");
    const DeviceComparison& device = c.devices.at(which);
    std::vector<Block> blocks = blocks_of(c, device);
    block_of(blocks, "film").lines += left_out(c, device);
    std::string out, section;
    std::vector<std::string> done;
    for (const std::string& line : lines_of(text)) {
        const std::string begun = heading(line);
        if (!begun.empty()) section = begun;
        const auto block =
            std::find_if(blocks.begin(), blocks.end(), [&](const Block& b) { return b.section == section; });
        if (block != blocks.end() && begun.empty() && is_replaced(line, *block)) {
            const std::string comment = comment_of(line);
            if (!comment.empty()) out.append(comment).append("\n");
            continue;
        }
        out.append(line).append("\n");
        if (begun.empty() || block == blocks.end()) continue;
        out.append(block->lines);
        done.push_back(section);
    }
    for (const Block& block : blocks)
        if (std::find(done.begin(), done.end(), block.section) == done.end())
            throw InputError({device.design_file, 0}, block.section,
                             "is not written as a section that begins with a line [" + block.section +
                                 "]; --write-design changes only such a one");
    return out;
}

}  // namespace tymbal
