// A sweep of this design: its curves and the main columns of its table.
#include "../text/figures.h"
#include "report_figures.h"
#include "report_parts.h"

#include "tymbal/base/error.h"
#include "tymbal/print/write_sweep.h"
#include "tymbal/read/design_keys.h"

#include <algorithm>
#include <cstdlib>
#include <sstream>

namespace tymbal {

namespace {

constexpr std::size_t most_rows = 200;

/// The SI unit of a column of the sweep; empty for names and bare numbers.
std::string unit_of(const SweepTable& sweep, const std::string& name) {
    if (name.rfind("frequency_hz", 0) == 0) return "Hz";
    const std::vector<std::string> axes = sweep.axes();
    if (std::find(axes.begin(), axes.end(), name) == axes.end()) return "";
    const std::optional<Kind> kind = changeable_key(name).kind;
    return kind ? si_unit(*kind) : "";
}

/// A heading without the unit that its cells have.
std::string title_of(const std::string& name) {
    return name.rfind("frequency_hz", 0) == 0 ? "frequency" + name.substr(12) : name;
}

std::string shortened(const std::string& cell, const std::string& unit) {
    char* end = nullptr;
    const double value = std::strtod(cell.c_str(), &end);
    if (cell.empty() || *end != '\0') return cell;
    return unit.empty() ? plain(value, 5) : quantity_text(value, 0.0, unit);
}

std::vector<std::string> shown_columns(const SweepTable& sweep, int mode) {
    std::vector<std::string> names = sweep.axes();
    const std::string k = std::to_string(mode);
    for (const std::string& name : {"label_" + k, "frequency_hz_" + k, "quality_" + k, std::string("fracture_margin"),
                                    std::string("reflectivity"), std::string("error")})
        if (std::find(sweep.columns.begin(), sweep.columns.end(), name) != sweep.columns.end()) names.push_back(name);
    return names;
}

void write_rows(std::ostream& out, const SweepTable& sweep, int mode) {
    const std::vector<std::string> names = shown_columns(sweep, mode);
    std::vector<Column> columns;
    for (const std::string& name : names)
        columns.push_back({title_of(name), name != "error" && name.rfind("label", 0) != 0});
    begin_table(out, "Rows of the sweep", columns);
    for (std::size_t row = 0; row < std::min(most_rows, sweep.rows.size()); ++row) {
        std::vector<std::string> cells;
        for (const std::string& name : names) cells.push_back(shortened(sweep.cell(row, name), unit_of(sweep, name)));
        table_row(out, columns, cells);
    }
    end_table(out);
    if (sweep.rows.size() > most_rows)
        out << "<p class=\"small\">the first " << most_rows << " of " << sweep.rows.size() << " rows</p>\n";
}

void write_curves(std::ostream& out, const SweepTable& sweep, int mode) {
    std::ostringstream picture;
    try {
        write_plot(picture, sweep, mode);
    } catch (const InputError& e) {  // names on every axis: there is nothing to draw over
        out << "<p>No curves: " << html(e.what()) << "</p>\n";
        return;
    }
    out << "<figure class=\"paper\"><div role=\"img\" aria-label=\"Figures of mode " << mode
        << " over the swept keys; the table that follows has the numbers\">" << picture.str() << "</div></figure>\n";
}

}  // namespace

void write_sweep_section(std::ostream& out, const SweepTable& sweep, int mode, const std::string& design_sha256) {
    begin_section(out, "sweep", "Sweep");
    const std::string swept = sweep.stated("design");
    if (!swept.empty() && swept.find(design_sha256) == std::string::npos)
        out << "<p class=\"note\">This sweep was made from another design file or from another state of it.</p>\n";
    write_curves(out, sweep, mode);
    write_rows(out, sweep, mode);
    end_section(out);
}

}  // namespace tymbal
