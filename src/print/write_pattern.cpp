#include "tymbal/print/write_pattern.h"

#include "../text/csv.h"
#include "../text/figures.h"

#include "tymbal/base/error.h"
#include "tymbal/mask/hole_file.h"
#include "tymbal/mask/write_gdsii.h"
#include "tymbal/mask/write_svg.h"

#include <cmath>
#include <filesystem>

namespace tymbal {

namespace {

constexpr std::size_t label_width = 26;

void line(std::ostream& out, const std::string& what, const std::string& value) {
    out << "  " << left(what, label_width) << wrapped(out, value, label_width + 2, label_width + 2) << '\n';
}

std::string length(double metres, int digits = 4) {
    return with_prefix(metres, "m", digits);
}

/// Below a picometre there is nothing but the arithmetic's rounding.
std::string small_length(double metres) {
    return std::abs(metres) < 1e-12 ? "0 nm" : length(metres, 2);
}

std::string size(const HoleSize& s) {
    if (s.deviation == 0.0) return plain(1e6 * s.width, 4) + " um";
    return with_uncertainty(s.width, s.deviation, 1e-6) + " um";
}

std::string counted(long count, const char* one, const char* many) {
    return std::to_string(count).append(" ").append(count == 1 ? one : many);
}

void write_sizes(std::ostream& out, const Pattern& p) {
    if (p.hole_count == 0) return;
    out << "HOLES  (full width: " << drawn_size_name(p.shape).substr(6) << ")\n";
    line(out, "drawn", size(p.sizes.drawn));
    line(out, "printed in the resist", size(p.sizes.printed));
    line(out, "etched through the film", size(p.sizes.etched));
    line(out, "released", size(p.sizes.released));
    out << '\n';
}

void write_openings(std::ostream& out, const Pattern& p) {
    if (!p.openings) return;
    const DrawnOpenings& o = *p.openings;
    out << "OPENINGS\n";
    std::size_t corners = 0;
    for (const DrawnRegion& r : o.regions) corners += r.rim.size();
    line(out, "drawn",
         counted(static_cast<long>(o.wanted), "opening", "openings") +
             (o.holes > 0 ? " and " + counted(static_cast<long>(o.holes), "hole that meets", "holes that meet") + " one"
                          : std::string()) +
             " as " + counted(static_cast<long>(o.figures), "figure", "figures") + " with " +
             counted(static_cast<long>(corners), "corner", "corners"));
    line(out, "edges move out by", size({o.growth_m, o.growth_deviation_m}) + " from drawn to released");
    line(out, "area",
         plain(1e12 * o.drawn_area_m2, 5) + " um2 as drawn, " + plain(1e12 * o.released_area_m2, 5) +
             " um2 as released");
    out << '\n';
}

void write_sources(std::ostream& out, const Pattern& p) {
    if (p.sources.empty()) return;
    out << "INPUTS\n";
    for (const SourceLine& s : p.sources) line(out, s.quantity, size({s.value, s.deviation}) + ", " + s.source);
    out << '\n';
}

void write_hole_figure(std::ostream& out, const Pattern& p) {
    const double change = p.figure.width_m - p.sizes.drawn.width;
    line(out, "holes",
         counted(p.hole_count, "hole", "holes") + " in " +
             counted(static_cast<long>(p.placements), "reference", "rows, arrays or references"));
    line(out, "hole's figure",
         counted(static_cast<long>(p.figure.corners.size()), "corner", "corners") + "; by its area the " +
             drawn_size_name(p.shape).substr(6) + " is " + length(p.figure.width_m));
    line(out, "snapping changes",
         "its size by " + small_length(change) +
             (p.shape == HoleShape::circle ? ", its edge by up to " : ", its corners by up to ") +
             small_length(p.figure.largest_departure_m));
    line(out, "centres move by", "up to " + small_length(p.largest_shift_m));
}

void write_drawing(std::ostream& out, const Pattern& p) {
    out << "DRAWING\n";
    line(out, "address grid", length(p.grid * drawn_unit_m, 3));
    if (p.hole_count > 0) write_hole_figure(out, p);
    for (const PatternCheck& c : p.checks)
        line(out, c.name,
             length(c.width_m) + (c.limit_m ? std::string(c.held ? ", met: the writer needs at least "
                                                                 : ", BROKEN: the writer needs at least ") +
                                                  length(*c.limit_m, 3)
                                            : ""));
}

void write_proposal(std::ostream& out, const Pattern& p) {
    if (p.printable()) return;
    out << "\nNOT PRINTABLE\n";
    if (!p.proposal) {
        line(out, "proposal", "none: take larger holes farther apart, or a writer with a smaller least feature");
        return;
    }
    const PatternProposal& q = *p.proposal;
    line(out, "same open fraction",
         drawn_size_name(p.shape).substr(6) + " " + plain(1e6 * q.hole_m, 5) + " um, pitch " +
             plain(1e6 * q.pitch_m, 5) + " um");
    line(out, "drawn then", "least width " + length(q.least_width_m) + ", least gap " + length(q.least_gap_m));
    if (q.clears_at_m > 0.0) line(out, "its last oxide goes at", "an undercut of " + length(q.clears_at_m));
}

std::string in_um(double metres) {
    return plain(1e6 * metres, 4);
}

std::string rungs(const PlacedWitness& w) {
    std::string list;
    for (const double r : w.rungs)
        list += (list.empty() ? "" : ", ") + (w.witness == Witness::size_ladder ? plain(r) : in_um(r));
    switch (w.witness) {
        case Witness::undercut_ruler:
            return "; strips come free at an undercut of " + list + " um" +
                   (w.rung_deviation_m > 0.0 ? ", each +- " + in_um(w.rung_deviation_m) + " um by the biases" : "");
        case Witness::hole_ladder: return "; columns of holes drawn " + list + " um wide";
        case Witness::control: return "; film without holes between four corners";
        case Witness::size_ladder: return "; the pattern in the outline scaled by " + list;
    }
    return list;
}

void write_chip(std::ostream& out, const Pattern& p) {
    if (p.crosses == 0 && p.label.empty() && p.witnesses.empty()) return;
    out << "\nCHIP  (um from the design's origin)\n";
    if (p.crosses > 0) line(out, "alignment", counted(p.crosses, "cross", "crosses"));
    if (!p.label.empty()) line(out, "label", p.label);
    for (const PlacedWitness& w : p.witnesses)
        line(out, to_string(w.witness),
             "from " + in_um(w.box.low.x * drawn_unit_m) + ", " + in_um(w.box.low.y * drawn_unit_m) + " to " +
                 in_um(w.box.high.x * drawn_unit_m) + ", " + in_um(w.box.high.y * drawn_unit_m) + rungs(w));
}

}  // namespace

void write_table(std::ostream& out, const Pattern& p) {
    out << (p.title.empty() ? std::string("(no title)") : p.title) << "\n\n";
    write_sizes(out, p);
    write_openings(out, p);
    write_sources(out, p);
    write_drawing(out, p);
    write_proposal(out, p);
    write_chip(out, p);
    if (!p.warnings.empty()) out << "\nWARNINGS\n";
    for (const Warning& w : p.warnings) out << "  " << wrapped(out, "! " + w.text, 2, 4) << '\n';
}

void write_hole_csv(std::ostream& out, const Pattern& p) {
    static_assert(drawn_unit_m == 1e-9);
    constexpr double units_per_um = 1000.0;  // dividing by a whole number rounds once: 0.05, not 0.05000000000000001
    const std::string width = fixed(p.figure.width_m * 1e6, 6);
    if (p.hole_count == 0)
        throw NoAnswer("a .csv lists holes, and this design draws none beside its openings; write .gds or .svg");
    out << "x (um),y (um)," << drawn_size_name(p.shape) << " (um)\n";
    for (const Placement& placed : p.drawing.cells[p.holes_cell].placements)
        for (const DrawnPoint at : copies(placed))
            out << shortest((at.x + p.figure.centre_x) / units_per_um) << ','
                << shortest((at.y + p.figure.centre_y) / units_per_um) << ',' << width << '\n';
}

PatternFormat pattern_format(const std::string& path) {
    const std::string ending = std::filesystem::path(path).extension().string();
    if (ending == ".gds") return PatternFormat::gdsii;
    if (ending == ".svg") return PatternFormat::svg;
    if (ending == ".csv") return PatternFormat::csv;
    throw InputError({}, "out", "'" + path + "' has none of the endings .gds, .svg and .csv that say what to write");
}

void write_pattern(std::ostream& out, const Pattern& p, PatternFormat format, const LayerNumbers& layers) {
    switch (format) {
        case PatternFormat::gdsii: return write_gdsii(out, p.drawing, layers);
        case PatternFormat::svg: return write_svg(out, p.drawing, p.title);
        case PatternFormat::csv: return write_hole_csv(out, p);
    }
}

}  // namespace tymbal
