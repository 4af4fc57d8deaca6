#include "tymbal/print/sweep_table.h"

#include "tymbal/base/error.h"
#include "tymbal/read/design_keys.h"
#include "tymbal/text/version.h"
#include "tymbal/text/whole_file.h"

#include "../text/csv.h"

#include <algorithm>
#include <numeric>
#include <set>
#include <sstream>
#include <stdexcept>

namespace tymbal {

namespace {

// Columns behind the axes: those of the design, of each mode, then warnings and error.
constexpr std::size_t of_design = 12, of_a_mode = 11, last = 2;

const std::string part_mark = "# part: ";

/// Of a varied key or a setting, which holds no list.
template <class Value>
std::string plain_value(const Value& value) {
    const double* si = std::get_if<double>(&value);
    return si != nullptr ? shortest(*si) : std::get<std::string>(value);
}

template <class Value>
std::string cell_value(const Value& value) {
    return std::holds_alternative<double>(value) ? plain_value(value) : csv_text(plain_value(value));
}

std::string one_line(std::string text) {
    std::replace_if(
        text.begin(), text.end(), [](unsigned char c) { return c < 0x20; }, ' ');
    return text;
}

std::string names_line(const SweepIdentity& identity) {
    std::string line = "index";
    for (const SweepAxis& axis : identity.grid.axes) line.append(",").append(axis.key);
    line +=
        ",fill_factor,hole_count,stress_relaxed_mean_pa,stress_peak_von_mises_pa,fracture_margin,ligament_m,static_"
        "stiffness_n_per_m,mass_kg,reflectivity,release_time_s,film_loss_m,over_etch_m";
    for (int k = 1; k <= identity.modes; ++k)
        for (const char* name :
             {"label", "frequency_hz", "frequency_std_hz", "discretisation_error_hz", "quality", "quality_low",
              "quality_high", "limited_by", "qf_hz", "single_photon_coupling_hz", "single_photon_cooperativity"})
            line.append(",").append(name).append("_").append(std::to_string(k));
    return line.append(",warnings,error\n");
}

std::string mode_cells(const ModeFigure& m) {
    std::string text;
    text.append(",").append(csv_text(m.label));
    text.append(",").append(csv(m.frequency_hz)).append(",").append(csv(stated(m.frequency_std_hz)));
    for (const double value : {m.discretisation_error_hz, m.quality.value, m.quality.low, m.quality.high})
        text.append(",").append(csv(value));
    text.append(",").append(m.limited_by).append(",").append(csv(m.qf_hz));
    text.append(",").append(csv(m.single_photon_coupling_hz));
    return text.append(",").append(csv(m.single_photon_cooperativity));
}

std::string figure_cells(const DesignFigures& f, int modes) {
    std::string text;
    const auto add = [&](const std::string& cell) { text.append(",").append(cell); };
    add(csv(f.fill_factor));
    add(std::to_string(f.hole_count));
    for (const double value : {f.stress_relaxed_mean_pa, f.stress_peak_von_mises_pa, f.fracture_margin})
        add(csv(value));
    add(csv(f.ligament_m));
    add(csv(f.static_stiffness_n_per_m));
    add(csv(f.mass_kg));
    add(csv(f.reflectivity));
    add(csv(f.release.release_time_s));
    add(csv(f.release.film_loss_m));
    add(csv(f.release.over_etch_m));
    for (int k = 0; k < modes; ++k) text += mode_cells(f.modes.at(static_cast<std::size_t>(k)));
    std::string codes;
    for (const std::string& code : f.warnings) codes.append(codes.empty() ? "" : " ").append(code);
    add(csv_text(codes));
    return text.append(",\n");
}

std::vector<std::string> cells_of(const std::string& line) {
    std::vector<std::string> cells(1);
    bool quoted = false;
    for (std::size_t k = 0; k < line.size(); ++k) {
        const char c = line[k];
        if (quoted && c == '"' && k + 1 < line.size() && line[k + 1] == '"')
            cells.back() += line[++k];
        else if (c == '"')
            quoted = !quoted;
        else if (c == ',' && !quoted)
            cells.emplace_back();
        else
            cells.back() += c;
    }
    return cells;
}

bool is_changeable(const std::string& key) {
    try {
        (void)changeable_key(key);
        return true;
    } catch (const InputError&) {
        return false;
    }
}

/// Is the line of names one that this program writes, for some axes and some number of modes? What reads the table
/// relies on its columns.
bool has_own_names(const SweepTable& table) {
    constexpr std::size_t most_modes = 200;
    const auto found = std::find(table.columns.begin(), table.columns.end(), "fill_factor");
    const auto axes = static_cast<std::size_t>(found - table.columns.begin());
    const std::size_t others = axes + of_design + last;
    if (found == table.columns.end() || axes < 2 || table.columns.size() < others + of_a_mode) return false;
    const std::size_t modes = (table.columns.size() - others) / of_a_mode;
    if (modes > most_modes) return false;
    SweepIdentity identity;
    identity.modes = static_cast<int>(modes);
    for (std::size_t k = 1; k < axes; ++k) {
        if (!is_changeable(table.columns[k])) return false;
        identity.grid.axes.push_back({table.columns[k], {}});
    }
    return names_line(identity) == table.names + "\n";
}

void read_part(const std::string& line, const Place& place, SweepTable& table) {
    std::istringstream text(line.substr(part_mark.size()));
    std::string of;
    if (!(text >> table.part >> of >> table.parts) || of != "of" || table.part < 1 || table.part > table.parts)
        throw InputError(place, "part",
                         std::string("is '")
                             .append(line.substr(part_mark.size(), 40))
                             .append("'; wanted: K of N; was the file edited?"));
}

}  // namespace

std::string head_text(const SweepIdentity& identity) {
    std::string text = "# tymbal sweep, version ";
    text.append(version).append("\n# title: ").append(one_line(identity.title));
    text.append("\n# design: sha256 ").append(identity.design_sha256);
    text.append("\n# materials: sha256 ").append(identity.materials_sha256).append("\n");
    for (const Change& setting : identity.settings)
        text.append("# setting: ").append(setting.key).append(" = ").append(plain_value(setting.value)).append("\n");
    for (const SweepAxis& axis : identity.grid.axes) {
        text.append("# vary: ").append(axis.key).append(" =");
        for (const auto& value : axis.values) text.append(" ").append(plain_value(value));
        text.append("\n");
    }
    text.append("# rows: ").append(std::to_string(identity.grid.size())).append("\n");
    if (identity.parts > 1)
        text.append(part_mark)
            .append(std::to_string(identity.part))
            .append(" of ")
            .append(std::to_string(identity.parts))
            .append("\n");
    return text.append(names_line(identity));
}

std::string row_text(const SweepIdentity& identity, const SweepRow& row) {
    std::string text = std::to_string(row.index);
    for (const Change& change : identity.grid.at(row.index)) text.append(",").append(cell_value(change.value));
    if (row.figures) return text.append(figure_cells(*row.figures, identity.modes));
    return text.append(of_design + of_a_mode * static_cast<std::size_t>(identity.modes) + last, ',')
        .append(csv_text(row.error))
        .append("\n");
}

std::vector<std::size_t> part_of(std::size_t rows, int part, int parts) {
    std::vector<std::size_t> mine;
    for (std::size_t k = static_cast<std::size_t>(part - 1); k < rows; k += static_cast<std::size_t>(parts))
        mine.push_back(k);
    return mine;
}

std::size_t SweepTable::index(std::size_t row) const {
    return static_cast<std::size_t>(std::stoull(rows[row].front()));
}

bool SweepTable::has(const std::string& name) const {
    return std::find(columns.begin(), columns.end(), name) != columns.end();
}

std::size_t SweepTable::column(const std::string& name) const {
    const auto found = std::find(columns.begin(), columns.end(), name);
    if (found == columns.end()) throw std::logic_error("SweepTable: no column " + name);
    return static_cast<std::size_t>(found - columns.begin());
}

std::string SweepTable::stated(const std::string& what) const {
    std::string mark = "# ";
    mark.append(what).append(": ");
    for (const std::string& line : head)
        if (line.compare(0, mark.size(), mark) == 0) return line.substr(mark.size());
    return "";
}

std::vector<std::string> SweepTable::axes() const {
    const std::size_t end = column("fill_factor");
    return {columns.begin() + 1, columns.begin() + static_cast<std::ptrdiff_t>(end)};
}

void SweepTable::sort() {
    std::vector<std::size_t> order(rows.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return index(a) < index(b); });
    SweepTable sorted = *this;
    for (std::size_t k = 0; k < order.size(); ++k) {
        sorted.lines[k] = lines[order[k]];
        sorted.rows[k] = rows[order[k]];
    }
    *this = std::move(sorted);
}

SweepTable parse_sweep(const std::string& text, const std::string& path) {
    SweepTable table;
    std::istringstream in(text);
    std::string line;
    int number = 1;
    for (; std::getline(in, line) && line.rfind('#', 0) == 0; ++number) {
        if (line.rfind(part_mark, 0) == 0)
            read_part(line, {path, number}, table);
        else
            table.head.push_back(line);
    }
    table.names = line;
    table.columns = cells_of(line);
    const bool sweep =
        !table.head.empty() && table.head.front().rfind("# tymbal sweep", 0) == 0 && has_own_names(table);
    if (!sweep) throw InputError({path, 0}, "", "is no table of `tymbal sweep`");
    std::set<unsigned long> seen;
    while (std::getline(in, line)) {
        ++number;
        std::vector<std::string> cells = cells_of(line);
        const bool counted = !cells.front().empty() && cells.front().size() < 10 &&
                             cells.front().find_first_not_of("0123456789") == std::string::npos;
        if (cells.size() != table.columns.size() || !counted)
            throw InputError({path, number}, "", "is no row of this sweep; was the file edited?");
        if (!seen.insert(std::stoul(cells.front())).second)
            throw InputError({path, number}, "", "holds row " + cells.front() + " once more; was the file edited?");
        table.lines.push_back(line);
        table.rows.push_back(std::move(cells));
    }
    return table;
}

std::string table_text(const SweepTable& table) {
    std::string text;
    for (const std::string& line : table.head) text.append(line).append("\n");
    if (table.parts > 1)
        text.append(part_mark)
            .append(std::to_string(table.part))
            .append(" of ")
            .append(std::to_string(table.parts))
            .append("\n");
    text.append(table.names).append("\n");
    for (const std::string& line : table.lines) text.append(line).append("\n");
    return text;
}

SweepTable join_sweeps(const std::vector<std::string>& paths) {
    SweepTable all;
    std::set<std::size_t> seen;
    for (const std::string& path : paths) {
        const SweepTable part = parse_sweep(read_whole(path), path);
        if (all.head.empty()) {  // the first
            all = part;
            all.lines.clear();
            all.rows.clear();
        }
        if (part.head != all.head || part.names != all.names || part.parts != all.parts)
            throw InputError({path, 0}, "",
                             "is part of another sweep than " + paths.front() + "; join parts of one sweep");
        for (std::size_t k = 0; k < part.rows.size(); ++k) {
            if (!seen.insert(part.index(k)).second)
                throw InputError({path, 0}, "",
                                 std::string("holds row ").append(part.rows[k].front()).append(" once more"));
            all.lines.push_back(part.lines[k]);
            all.rows.push_back(part.rows[k]);
        }
    }
    const std::string rows = all.stated("rows");
    if (rows.empty() || rows.size() > 9 || rows.find_first_not_of("0123456789") != std::string::npos)
        throw InputError({paths.front(), 0}, "rows",
                         std::string("is '").append(rows, 0, 40).append("', no number of rows; was the file edited?"));
    const std::size_t wanted = std::stoull(rows);
    for (std::size_t k = 0; k < wanted; ++k)
        if (seen.count(k) == 0)
            throw InputError({}, "join",
                             "row " + std::to_string(k) + " is missing: part " +
                                 std::to_string(k % static_cast<std::size_t>(all.parts) + 1) + " of " +
                                 std::to_string(all.parts) + " is not there or not finished; continue it (resume)");
    all.part = all.parts = 1;
    all.sort();
    return all;
}

}  // namespace tymbal
