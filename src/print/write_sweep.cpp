#include "tymbal/print/write_sweep.h"

#include "tymbal/base/error.h"
#include "tymbal/read/design_keys.h"
#include "tymbal/text/svg_plot.h"

#include "../text/figures.h"
#include "json_parts.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <limits>

namespace tymbal {

namespace {

std::optional<double> number_in(const std::string& cell) {
    if (cell.empty()) return std::nullopt;
    char* end = nullptr;
    const double value = std::strtod(cell.c_str(), &end);
    return *end == '\0' ? std::optional<double>(value) : std::nullopt;
}

std::string mode_column(const char* name, int mode) {
    return std::string(name).append("_").append(std::to_string(mode));
}

/// An axis value as people write it.
std::string axis_text(const std::string& key, const std::string& cell) {
    const std::optional<double> value = number_in(cell);
    const std::optional<Kind> kind = changeable_key(key).kind;
    if (!value || !kind || *kind == Kind::ratio) return value ? plain(*value, 4) : cell;
    return with_unit(*value, si_unit(*kind), 4);
}

struct ShownColumn {
    const char* title;
    std::string name;
    std::string unit;
    int digits;
    double scale;
    std::size_t width;
};

constexpr std::size_t axis_width = 12;  // fill_factor and a space

bool any_known(const SweepTable& table, const std::string& name) {
    const std::size_t column = table.column(name);
    return std::any_of(table.rows.begin(), table.rows.end(), [&](const auto& row) { return !row[column].empty(); });
}

/// Figures that at least one design has.
std::vector<ShownColumn> shown_columns(const SweepTable& table, int mode) {
    std::vector<ShownColumn> all{{"open %", "fill_factor", "%", 3, 100.0, 8},
                                 {"f", mode_column("frequency_hz", mode), "Hz", 4, 1.0, 10},
                                 {"Q", mode_column("quality", mode), "", 2, 1.0, 7},
                                 {"relaxed", "stress_relaxed_mean_pa", "Pa", 3, 1.0, 9},
                                 {"peak", "stress_peak_von_mises_pa", "Pa", 3, 1.0, 9},
                                 {"static k", "static_stiffness_n_per_m", "N/m", 3, 1.0, 9},
                                 {"release", "release_time_s", "s", 3, 1.0, 8},
                                 {"R %", "reflectivity", "%", 3, 100.0, 6},
                                 {"margin", "fracture_margin", "1", 3, 1.0, 8},
                                 {"C0", mode_column("single_photon_cooperativity", mode), "", 2, 1.0, 7},
                                 {"Q f (Hz)", mode_column("qf_hz", mode), "", 2, 1.0, 10},
                                 {"g0/2pi", mode_column("single_photon_coupling_hz", mode), "Hz", 3, 1.0, 9}};
    all.erase(std::remove_if(all.begin(), all.end(), [&](const ShownColumn& c) { return !any_known(table, c.name); }),
              all.end());
    return all;
}

/// Leaves out the last columns that the page has no room for. @return their titles
std::string fit_page(std::vector<ShownColumn>& columns, std::size_t taken, std::size_t width) {
    std::string left_out;
    std::size_t kept = 0;
    for (; kept < columns.size() && taken + columns[kept].width <= width; ++kept) taken += columns[kept].width;
    for (std::size_t k = kept; k < columns.size(); ++k)
        left_out.append(left_out.empty() ? "" : ", ").append(columns[k].title);
    columns.resize(kept);
    return left_out;
}

std::string shown(const ShownColumn& column, const std::string& cell) {
    const std::optional<double> value = number_in(cell);
    if (!value) return "-";
    if (column.unit == "%" || column.unit == "1") return plain(column.scale * *value, column.digits);
    return column.unit.empty() ? rough(*value) : with_prefix(*value, column.unit.c_str(), column.digits);
}

std::string short_key(const std::string& key) {
    return key.substr(key.find('.') + 1);
}

std::vector<double> column_numbers(const SweepTable& table, const std::string& name,
                                   const std::vector<std::size_t>& rows) {
    std::vector<double> values;
    for (const std::size_t row : rows)
        values.push_back(number_in(table.cell(row, name)).value_or(std::numeric_limits<double>::quiet_NaN()));
    return values;
}

/// Rows of equal values on all axes but `x_key`, in order of appearance, with the label that tells them apart.
struct Family {
    std::string label;
    std::vector<std::size_t> rows;
};

std::vector<Family> families(const SweepTable& table, const std::string& x_key) {
    std::vector<Family> all;
    for (std::size_t row = 0; row < table.rows.size(); ++row) {
        std::string label;
        for (const std::string& key : table.axes())
            if (key != x_key)
                label.append(label.empty() ? "" : ", ")
                    .append(short_key(key))
                    .append(" ")
                    .append(axis_text(key, table.cell(row, key)));
        auto found = std::find_if(all.begin(), all.end(), [&](const Family& f) { return f.label == label; });
        if (found == all.end()) found = all.insert(all.end(), {label, {}});
        found->rows.push_back(row);
    }
    return all;
}

[[noreturn]] void refuse_plot() {
    throw InputError({}, "plot", "needs a varied key with numbers to draw over; vary one, or leave the plot out");
}

std::string x_axis(const SweepTable& table) {
    const std::vector<std::string> keys = table.axes();
    std::string fill = "holes.fill_factor";
    if (std::find(keys.begin(), keys.end(), fill) != keys.end()) return fill;
    for (const std::string& key : keys)
        if (!table.rows.empty() && number_in(table.cell(0, key))) return key;
    refuse_plot();
}

/// The unit that keeps the largest value readable.
UsualUnit readable(const std::vector<double>& values, const std::string& unit) {
    double most = 0.0;
    for (const double v : values)
        if (std::isfinite(v)) most = std::max(most, std::abs(v));
    return usual_unit(unit, most);
}

struct Plotted {
    const char* title;
    std::string name;
    const char* unit;
    bool logarithmic;
};

PlotPanel panel_of(const SweepTable& table, const std::string& x_key, const Plotted& wanted) {
    PlotPanel panel;
    panel.logarithmic = wanted.logarithmic;
    std::vector<double> all;
    for (const Family& family : families(table, x_key)) {
        panel.curves.push_back(
            {family.label, column_numbers(table, x_key, family.rows), column_numbers(table, wanted.name, family.rows)});
        all.insert(all.end(), panel.curves.back().y.begin(), panel.curves.back().y.end());
    }
    const UsualUnit unit = readable(all, wanted.unit);
    for (PlotCurve& curve : panel.curves)
        for (double& y : curve.y) y /= unit.scale;
    panel.title = unit.name.empty() ? std::string(wanted.title) : std::string(wanted.title) + " (" + unit.name + ")";
    const bool known = std::any_of(all.begin(), all.end(), [](double v) { return std::isfinite(v); });
    if (!known) panel.curves.clear();
    return panel;
}

bool evenly_in_logarithm(std::vector<double> values) {
    std::sort(values.begin(), values.end());
    values.erase(std::unique(values.begin(), values.end()), values.end());
    if (values.size() < 4 || !(values.front() > 0.0)) return false;
    return std::abs(std::log(values[1] / values[0]) / std::log(values.back() / values[values.size() - 2]) - 1.0) < 1e-6;
}

/// Why no solved design has a release time; a film without holes needs none.
void write_missing_time(std::ostream& out, const SweepTable& table) {
    const std::size_t holes = table.column("hole_count");
    const bool perforated = std::any_of(table.rows.begin(), table.rows.end(),
                                        [&](const auto& row) { return row.back().empty() && row[holes] != "0"; });
    if (!perforated || any_known(table, "release_time_s")) return;
    out << "release time: not known without "
        << (any_known(table, "over_etch_m") ? "an etch rate: release.etchant and sacrificial, or release.rate"
                                            : "release.undercut or release.time")
        << '\n';
}

}  // namespace

void write_table(std::ostream& out, const SweepTable& table, int mode) {
    const std::string title = table.stated("title");
    out << (title.empty() ? std::string("(no title)") : title) << "\n";
    std::size_t failed = 0;
    for (const auto& row : table.rows) failed += row.back().empty() ? 0U : 1U;
    out << table.rows.size() << " designs, " << failed << " without an answer; mode " << mode << "\n\n";
    const std::vector<std::string> keys = table.axes();
    std::vector<ShownColumn> columns = shown_columns(table, mode);
    const std::string left_out = fit_page(columns, axis_width * keys.size(), page_width(out));
    for (const std::string& key : keys) out << in_column(short_key(key), axis_width);
    for (const ShownColumn& c : columns) out << in_column(c.title, c.width);
    out << '\n';
    for (std::size_t row = 0; row < table.rows.size(); ++row) {
        for (const std::string& key : keys) out << in_column(axis_text(key, table.cell(row, key)), axis_width);
        if (table.rows[row].back().empty())
            for (const ShownColumn& c : columns) out << in_column(shown(c, table.cell(row, c.name)), c.width);
        else
            out << "  "
                << wrapped(out, "! " + table.rows[row].back(), axis_width * keys.size() + 2,
                           axis_width * keys.size() + 4);
        out << '\n';
    }
    if (!left_out.empty())
        out << "not shown for want of width: " << wrapped(out, left_out + "; --csv has all", 29, 2) << '\n';
    write_missing_time(out, table);
}

void write_json(std::ostream& out, const SweepTable& table) {
    const std::string mark = "sha256 ";
    const std::string design = table.stated("design");
    Json root = json_head(table.stated("title"), design.size() > mark.size() ? design.substr(mark.size()) : "");
    root["varied"] = table.axes();
    root["rows"] = Json::array();
    for (const auto& cells : table.rows) {
        Json row;
        for (std::size_t k = 0; k < cells.size(); ++k) {
            const std::optional<double> value = number_in(cells[k]);
            const bool whole = table.columns[k] == "index" || table.columns[k] == "hole_count";
            if (cells[k].empty())
                row[table.columns[k]] = nullptr;
            else if (value && whole && std::abs(*value) < 1e15)
                row[table.columns[k]] = static_cast<long>(*value);
            else
                row[table.columns[k]] = value ? number(*value) : Json(cells[k]);
        }
        root["rows"].push_back(row);
    }
    print(out, root);
}

void require_plottable(const SweepGrid& grid) {
    const auto has_numbers = [](const SweepAxis& axis) { return std::holds_alternative<double>(axis.values.front()); };
    if (std::none_of(grid.axes.begin(), grid.axes.end(), has_numbers)) refuse_plot();
}

void write_plot(std::ostream& out, const SweepTable& table, int mode) {
    const std::string x_key = x_axis(table);
    const std::string label = "of mode " + std::to_string(mode);
    const std::vector<Plotted> wanted{{"frequency", mode_column("frequency_hz", mode), "Hz", false},
                                      {"quality factor", mode_column("quality", mode), "", true},
                                      {"relaxed stress", "stress_relaxed_mean_pa", "Pa", false},
                                      {"peak stress", "stress_peak_von_mises_pa", "Pa", false},
                                      {"static stiffness", "static_stiffness_n_per_m", "N/m", false},
                                      {"release time", "release_time_s", "s", false},
                                      {"reflectivity", "reflectivity", "", false}};
    Plot plot;
    for (const Plotted& w : wanted) {
        plot.panels.push_back(panel_of(table, x_key, w));
        if (plot.panels.back().curves.empty()) plot.panels.pop_back();
    }
    std::vector<double> x;
    for (std::size_t row = 0; row < table.rows.size(); ++row)
        x.push_back(number_in(table.cell(row, x_key)).value_or(0.0));
    const std::optional<Kind> kind = changeable_key(x_key).kind;
    const UsualUnit unit = readable(x, kind ? si_unit(*kind) : "");
    for (PlotPanel& panel : plot.panels)
        for (PlotCurve& curve : panel.curves)
            for (double& v : curve.x) v /= unit.scale;
    plot.x_title = unit.name.empty() ? x_key : x_key + " (" + unit.name + ")";
    plot.x_logarithmic = evenly_in_logarithm(x);
    plot.title =
        table.stated("title").substr(0, 60) + (table.stated("title").empty() ? "figures " : ": figures ") + label;
    write_svg(out, plot);
}

}  // namespace tymbal
