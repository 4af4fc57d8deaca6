// The stress map: largest stress place by place, with the peak marked.
#include "../text/figures.h"
#include "film_picture.h"
#include "mode_picture.h"
#include "report_figures.h"
#include "report_parts.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace tymbal {

namespace {

constexpr int most_points = 96;
constexpr double finest_pitch = 16.0;  // units of the picture: holes that stand closer are not seen one by one

struct StressRange {
    double least = std::numeric_limits<double>::infinity(), most = 0.0;
    [[nodiscard]] bool even() const { return most - least < 1e-6 * most; }
    [[nodiscard]] double border(int band) const { return least + (most - least) * band / sequential_bands; }
};

/// Resolved holes of a lattice too fine to be seen one by one.
bool between_holes(const Report& r, const Frame& frame) {
    return r.drawing.holes_resolved && r.design.holes && r.design.holes->lattice != Lattice::list &&
           frame.scale * r.design.holes->pitch.si() < finest_pitch;
}

StressRange range_of(const Raster& stress) {
    StressRange range;
    for (const double v : stress.values) {
        if (std::isnan(v)) continue;
        range.least = std::min(range.least, v);
        range.most = std::max(range.most, v);
    }
    return range;
}

void draw_bands(std::ostream& out, const Raster& stress, const StressRange& range, const Frame& frame) {
    const Raster all = covering(stress, most_points);
    out << "<rect class=\"s0\" width=\"" << coordinate(frame.width()) << "\" height=\"" << coordinate(frame.height())
        << "\"/>";
    // Cells end half a cell before the rim: what lies there shows the outermost cells' value.
    const Raster wide = widened(all);
    for (int band = 1; band < sequential_bands; ++band)
        out << "<path class=\"s" << band << "\" d=\"" << path_of(regions_above(wide, range.border(band)), frame, true)
            << "\"/>";
    out << '\n';
}

void mark_peak(std::ostream& out, const StressMap& map, const Frame& frame) {
    const std::string at = coordinate(frame.x(map.peak.x)) + " " + coordinate(frame.y(map.peak.y));
    out << "<path class=\"halo\" d=\"M" << at << "m-9 0h18m-9 -9v18\"/><path class=\"peak\" d=\"M" << at
        << "m-9 0h18m-9 -9v18\"/>\n";
}

std::vector<std::string> bar_labels(const StressRange& range) {
    std::vector<std::string> labels(sequential_bands + 1);
    for (int band = 0; band <= sequential_bands; band += 4)
        labels[static_cast<std::size_t>(band)] = with_prefix(range.border(band), "Pa", 3);
    return labels;
}

std::string in_words(const Report& r, const StressRange& range) {
    return "Stress map: from " + with_prefix(range.least, "Pa", 3) + " to " + with_prefix(range.most, "Pa", 3) +
           ", largest " + with_prefix(r.stress.peak_pa, "Pa", 3) + " at (" + plain(1e6 * r.stress.peak.x) + ", " +
           plain(1e6 * r.stress.peak.y) + ") um.";
}

std::string caption(const Report& r, const StressRange& range) {
    const bool averaged = r.prediction.model == "averaged" && !r.drawing.hole_centres.empty();
    const std::string what =
        between_holes(r, picture_frame(r.drawing)) ? "The largest von Mises stress within half a pitch of each place."
        : averaged ? "In the hole field the largest stress at the edges of the holes, elsewhere von Mises stress."
                   : "Von Mises stress in the film.";
    const std::string peak = " The cross marks the largest, " + with_prefix(r.stress.peak_pa, "Pa", 3);
    // Colours show what cells carry in the mean; at a free edge the stress rises further within the cell.
    return what + peak + (r.stress.peak_pa > range.most ? ", at an edge, which the colours do not reach." : ".");
}

std::vector<Fact> stress_facts(const Report& r) {
    const EffectiveFilm& f = r.prediction.film;
    std::string peak = with_prefix(f.stress_peak_von_mises_pa, "Pa", 3);
    if (f.stress_peak_error_pa > 0.0) peak += " +- " + with_prefix(f.stress_peak_error_pa, "Pa", 2);
    return {{"As deposited", with_prefix(f.stress_as_deposited_pa, "Pa", 4)},
            {"Mean after release", with_prefix(f.stress_relaxed_mean_pa, "Pa", 4)},
            {"Largest", peak},
            {"Fracture margin", plain(f.fracture_margin)}};
}

void write_map(std::ostream& out, const Report& report) {
    const Frame frame = picture_frame(report.drawing);
    const Raster stress = shown_stress(report, frame);
    StressRange range = range_of(stress);
    // Where grid and lattice beat, the largest of a pitch is good to the peak's error: bands no narrower than half of
    // it.
    if (between_holes(report, frame)) {
        const double error = report.prediction.film.stress_peak_error_pa;
        range.least = std::max(0.0, std::min(range.least, range.most - 0.5 * sequential_bands * error));
    }
    out << "<div class=\"pair\">\n<figure>\n<svg class=\"shape\" id=\"stress-map\" viewBox=\"0 0 "
        << coordinate(frame.width()) << ' ' << coordinate(frame.height())
        << "\" role=\"img\" aria-labelledby=\"stress-title\" data-field=\"stress\">\n<title id=\"stress-title\">"
        << html(in_words(report, range)) << "</title>\n<g " << only_film(report.drawing) << ">\n";
    draw_bands(out, stress, range, frame);
    out << "</g>\n";
    draw_edges(out, report.drawing, frame);
    mark_peak(out, report.stress, frame);
    out << "</svg>\n";
    colour_bar(out, 's', bar_labels(range),
               "Colours of stress, from " + bar_labels(range).front() + " to " + bar_labels(range).back());
    out << "<figcaption>" << html(caption(report, range)) << "</figcaption>\n</figure>\n";
    facts(out, "Stress in the film", stress_facts(report));
    out << "</div>\n";
}

}  // namespace

Raster shown_stress(const Report& r, const Frame& frame) {
    Raster stress = raster_of_largest(r.stress);
    if (!between_holes(r, frame)) return stress;
    // Points of a thinned raster would fall now on holes' edges, now between them: a pattern that is not there.
    const double half = 0.5 * r.design.holes->pitch.si();
    return largest_near_by(stress, static_cast<int>(std::ceil(half / stress.dx)),
                           static_cast<int>(std::ceil(half / stress.dy)));
}

bool stress_is_even(const Report& report) {
    return range_of(shown_stress(report, picture_frame(report.drawing))).even();
}

void write_stress_section(std::ostream& out, const Report& report) {
    begin_section(out, "stress", "Stress");
    if (stress_is_even(report)) {
        out << "<p>The stress is the same everywhere in this film; a map would show one colour.</p>\n";
        facts(out, "Stress in the film", stress_facts(report));
    } else {
        write_map(out, report);
    }
    end_section(out);
}

}  // namespace tymbal
