#include "../text/figures.h"
#include "../text/plain_name.h"
#include "../text/toml_table.h"
#include "../text/toml_text.h"

#include "tymbal/base/error.h"
#include "tymbal/print/write_record.h"

#include <algorithm>
#include <cstdio>
#include <map>

namespace tymbal {

namespace {

/// A value as a design file has it: "0.11 +- 0.03 um", in the unit that people write.
std::string quantity(const LearnedLine& line) {
    const std::map<std::string, std::pair<double, const char*>> units{{"process.lithography_bias", {1e-6, "um"}},
                                                                      {"process.etch_bias", {1e-6, "um"}},
                                                                      {"film.stress", {1e6, "MPa"}},
                                                                      {"film.thickness", {1e-9, "nm"}},
                                                                      {"release.rate", {1e-9 / 60.0, "nm/min"}},
                                                                      {"release.film_rate", {1e-9 / 60.0, "nm/min"}}};
    const auto& unit = units.at(line.key);
    char text[96];
    if (line.deviation > 0.0)
        std::snprintf(text, sizeof text, "%.6g +- %.3g %s", line.value / unit.first, line.deviation / unit.first,
                      unit.second);
    else
        std::snprintf(text, sizeof text, "%.6g %s", line.value / unit.first, unit.second);
    return text;
}

std::string section_of(const std::string& key) {
    return key.substr(0, key.find('.'));
}
std::string name_of(const std::string& key) {
    return key.substr(key.find('.') + 1);
}

std::string group_name(const Learned& l) {
    if (l.of_groups) return "another one";
    if (l.group.empty()) return l.key.rfind("process.", 0) == 0 ? "all" : "not named";
    return printable(l.group);
}

std::string unit_of(const Learned& l) {
    const bool rate = l.key.rfind("release.", 0) == 0;
    return rate ? "m/s" : l.key == "film.stress" ? "Pa" : "m";
}

/// Values of one row in one unit.
void write_learned(std::ostream& out, const Learned& l) {
    const Pooled& p = l.pooled;
    const std::string si = unit_of(l);
    const UsualUnit unit = usual_unit(si, std::abs(p.mean));
    const auto scatter = [&](double value) { return plain(value / unit.scale, 2); };
    const bool known = p.scatter_known();
    out << "  " << left(l.key, 25) << left(group_name(l), 13)
        << in_column(with_uncertainty(p.mean, p.mean_std, unit.scale) + " " + unit.name, 22)
        << in_column(known ? scatter(p.between) : "-", 8) << in_column(scatter(p.within), 8)
        << in_column(std::to_string(p.values) + "/" + std::to_string(p.chips), 8) << '\n';
}

void write_next(std::ostream& out, const Learning& l) {
    out << "\nWHAT TO MEASURE NEXT";
    if (!l.judged_by.empty()) out << "  (by the spread of f of " << printable(l.judged_by) << ")";
    out << '\n';
    std::size_t rank = 0;
    for (const NextMeasurement& n : l.next) {
        if (++rank > 5) break;
        std::string text = std::to_string(rank).append(" ").append(printable(n.what)).append(": ");
        if (!n.then)
            text.append("its scatter between chips is not known yet");
        else if (n.frequency_now)
            text.append(plain(100.0 * *n.frequency_now, 3))
                .append(" % of f becomes ")
                .append(plain(100.0 * *n.frequency_then, 3))
                .append(" %");
        else
            text.append("deviation times ")
                .append(plain(n.now > 0.0 ? *n.then / n.now : 1.0, 3))
                .append("; does not move f");
        out << "  " << wrapped(out, text, 2, 4) << '\n';
    }
}

}  // namespace

std::string learned_toml(const Learning& learning) {
    std::string text, section;
    for (const char* wanted : {"film", "release", "process"})
        for (const LearnedLine& line : learning.lines) {
            if (section_of(line.key) != wanted) continue;
            if (section != wanted) text.append(text.empty() ? "[" : "\n[").append(section = wanted).append("]\n");
            text.append(name_of(line.key))
                .append(" = \"")
                .append(quantity(line))
                .append("\"  # ")
                .append(printable(line.basis));
            text.append("\n");
        }
    return text;
}

std::string with_learned(const std::string& text, const std::string& path, const Learning& learning) {
    (void)parse_toml(text, path);
    TomlText file(text);
    for (const LearnedLine& line : learning.lines) {
        const std::string section = section_of(line.key), name = name_of(line.key);
        file.set(section, name, quoted_like(file.value(section, name), quantity(line)));
    }
    (void)parse_toml(file.text(), path);
    return file.text();
}

void write_learning(std::ostream& out, const Learning& l) {
    out << "LEARNED  (mean; standard deviations between and within chips; values/chips)\n";
    out << "  key                      bath, wafer                 mean  between  within   count\n";
    for (const Learned& one : l.learned) write_learned(out, one);
    out << "\nLINES FOR THE NEXT DESIGN  (what the next chip will have, one sigma)\n";
    std::istringstream lines(learned_toml(l));
    for (std::string line; std::getline(lines, line);) {
        const std::size_t comment = line.find("  # ");
        out << (line.empty() ? "" : "  ") << line.substr(0, comment) << '\n';
        if (comment != std::string::npos) out << "    " << wrapped(out, line.substr(comment + 2), 4, 6) << '\n';
    }
    write_next(out, l);
    if (!l.left_out.empty()) out << "\nLEFT OUT\n";
    for (std::size_t k = 0; k < std::min<std::size_t>(l.left_out.size(), 8); ++k) {
        std::string text = std::string("entry ").append(std::to_string(l.left_out[k].entry)).append(": ");
        out << "  " << wrapped(out, text.append(printable(l.left_out[k].why)), 2, 4) << '\n';
    }
    if (l.left_out.size() > 8) out << "  and " << l.left_out.size() - 8 << " more\n";
    if (!l.warnings.empty()) out << "\nWARNINGS\n";
    for (const Warning& w : l.warnings) out << "  " << wrapped(out, "! " + printable(w.text), 2, 4) << '\n';
}

}  // namespace tymbal
