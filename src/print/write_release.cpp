#include "tymbal/print/write_release.h"

#include "../text/figures.h"
#include "field_words.h"
#include "limits_table.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

void line(std::ostream& out, const char* what, const std::string& value) {
    out << "  " << left(what, 32) << wrapped(out, value, 34, 34) << '\n';
}

std::string micrometres(double metres, int digits = 4) {
    return plain(1e6 * metres, digits) + " um";
}

std::string with_sigma(const HoleSize& size) {
    if (size.deviation == 0.0) return micrometres(size.width);
    return with_uncertainty(size.width, size.deviation, 1e-6) + " um";
}

std::string nanometres(double metres) {
    return plain(1e9 * metres, 3) + " nm";
}

std::string place(Point p) {
    std::string text = "(";
    return text.append(fixed(1e6 * p.x, 1)).append(", ").append(fixed(1e6 * p.y, 1)).append(") um");
}

void write_sizes(std::ostream& out, const ReleaseReport& r) {
    const HoleSizes& holes = *r.holes;
    const FrontReport& front = *r.front;
    out << "SIZES  (full widths, +- one sigma; four of one hole, two of the field)\n";
    line(out, "hole as drawn", with_sigma(holes.drawn));
    line(out, "hole as printed", with_sigma(holes.printed));
    line(out, "hole as etched", with_sigma(holes.etched));
    line(out, "hole as released", with_sigma(holes.released));
    if (r.ligament_m) line(out, "solid width between holes", micrometres(*r.ligament_m));
    const double grown = holes.released.width - holes.drawn.width;
    line(out, "hole field as drawn",
         micrometres(front.field_width_m - grown) + " x " + micrometres(front.field_height_m - grown));
    if (r.field) {
        line(out, "holes.field asks for", field_filled(*r.field));
        line(out, "a row less or more from", next_fields(*r.field));
    }
    if (front.regions > 0)
        line(out, "area set free",
             micrometres(front.width_m) + " x " + micrometres(front.height_m) + " over all, " +
                 plain(1e12 * front.area_m2, 5) + " um^2");
}

void write_front(std::ostream& out, const FrontReport& f) {
    out << "\nFRONT  (undercut: from the edge of the released hole)\n";
    if (f.undercut) line(out, "undercut", with_sigma({f.undercut->si(), f.undercut->deviation_si()}));
    line(out, "etch fronts merge at", micrometres(f.merges_at_m));
    if (f.last_oxide)
        line(out, "last oxide pillar clears at", micrometres(f.clears_at_m) + ", at " + place(*f.last_oxide));
    else
        line(out, "oxide pillars", "none is enclosed between these holes");
    if (f.regions > 0) line(out, "separate regions", std::to_string(f.regions));
    if (f.regions > 0 && f.pillars.empty()) line(out, "pillars left", "none");
    if (!f.pillars.empty()) {
        line(out, "pillars left",
             std::to_string(f.pillars.size()) + ", the widest " + micrometres(f.pillars.front().width_m, 3) + " at " +
                 place(f.pillars.front().centre));
    }
    if (f.rim_short_m)
        line(out, "outline of the design",
             *f.rim_short_m > 0.0 ? "missed by " + micrometres(*f.rim_short_m, 3) : "reached everywhere");
}

void write_etch(std::ostream& out, const EtchReport& e) {
    out << "\nETCH\n";
    line(out, "etchant", e.etchant.empty() ? "not named, rates of the design" : e.etchant + ": " + e.title);
    const double rate_unit = 1e-9 / 60.0;
    line(out, "rate on the sacrificial layer",
         with_uncertainty(e.rate.si(), e.rate.deviation_si(), rate_unit) + " nm/min, " +
             (e.sacrificial.empty() ? "" : e.sacrificial + " ") + "[" + to_string(e.rate.source().origin) + "]");
    line(out, "rate on the film",
         e.film_rate ? with_uncertainty(e.film_rate->si(), e.film_rate->deviation_si(), rate_unit) + " nm/min [" +
                           to_string(e.film_rate->source().origin) + "]"
                     : "not known");
    if (e.time_s > 0.0) line(out, "time for the undercut", duration_with(e.time_s, e.time_deviation_s));
    if (e.loss) {
        const auto spread = [&](double loss) {
            return with_uncertainty(loss, loss * e.loss->relative_spread, 1e-9) + " nm";
        };
        line(out, "film lost from above", spread(e.loss->above) + "; the holes' edges recede as much");
        line(out, "film lost from below",
             spread(e.loss->below_mean) + " in the mean, " + nanometres(e.loss->below_at_holes) +
                 " at the holes, none at the rim");
        line(out, "thickness",
             nanometres(e.deposited_m) + " deposited; " + nanometres(e.mean_m) + " left in the mean, " +
                 nanometres(e.at_holes_m) + " at the holes, " + nanometres(e.at_rim_m) + " at the rim");
    }
    if (e.clear_s > 0.0)
        line(out, "window opens (oxide cleared)",
             duration(e.clear_s) + ", with a slow bath " + duration(e.clear_late_s));
    for (const WindowEnd& end : e.ends)
        line(out, "window closes",
             duration(end.time_s) + ", with fast rates " + duration(end.early_s) + ": " + end.limit);
    if (e.ends.empty()) line(out, "window closes", "at no limit of the design");
}

void write_acids(std::ostream& out, const ReleaseReport& r) {
    if (r.acids.empty()) return;
    out << "\nETCHANTS COMPARED  (same undercut; compared, not recommended)\n";
    out << "  A weaker acid need not cost less film; of equals take the less hazardous.\n"
        << "  " << left("row", 22) << in_column("time", 12) << in_column("oxide : film", 14)
        << in_column("film per face", 16) << "  hazard\n";
    for (const AcidRow& a : r.acids)
        out << "  " << left(a.row, 22) << in_column(duration(a.time_s), 12)
            << in_column(a.selectivity ? plain(*a.selectivity, 3) : "not known", 14)
            << in_column(a.loss_per_face_m ? nanometres(*a.loss_per_face_m) : "not known", 16) << "  "
            << (a.hazard == "hydrofluoric acid" ? "HF" : a.hazard) << '\n';
}

/// Whether a film that has touched the ground comes free again.
std::string adhesion_text(const DryingRow& d) {
    return std::string("adhesion margin ")
        .append(with_uncertainty(*d.adhesion_margin, d.adhesion_deviation, 1.0))
        .append(*d.adhesion_margin > 1.0 ? ": comes free" : ": stays stuck")
        .append(" after contact");
}

void write_drying(std::ostream& out, const ReleaseReport& r) {
    if (!r.film) return;
    const FreeFilmReport& f = *r.film;
    out << "\nDRYING  (both faces fully wetted; margin: critical over actual surface tension)\n";
    line(out, "collapses above",
         "a surface tension of " + plain(1e3 * f.critical_tension_local, 3) + " mN/m (local meniscus pressure), " +
             plain(1e3 * f.critical_tension_connected, 3) + " mN/m (one pressure everywhere)");
    line(out, "deflection just before",
         micrometres(f.collapse_deflection_m, 3) + " of a gap of " + micrometres(r.gap_m));
    for (const DryingRow& d : r.drying) {
        std::string text = d.margin ? "margin " + with_uncertainty(*d.margin, d.margin_deviation, 1.0) : "no meniscus";
        if (d.adhesion_margin) text.append("; ").append(adhesion_text(d));
        line(out, ((d.row == r.chosen_drying ? "> " : "") + d.row).c_str(), text);
    }
}

void write_film(std::ostream& out, const FreeFilmReport& f) {
    out << "\nFILM  (as released; one grid, see predict for the full answer)\n";
    line(out, "lowest frequency", with_prefix(f.frequency_hz, "Hz", 4) + ", grid error " + rough(f.frequency_error));
    if (f.shift_per_undercut_per_m)
        line(out, "more undercut moves it by", plain(1e-4 * *f.shift_per_undercut_per_m, 3) + " % per um");
    line(out, "largest stress",
         with_prefix(f.stress_peak_pa, "Pa", 3) +
             (f.stress_peak_error_pa > 0.0 ? " +- " + with_prefix(f.stress_peak_error_pa, "Pa", 2) : "") +
             "; fracture margin " + with_uncertainty(f.fracture_margin, f.fracture_margin_deviation, 1.0));
}

}  // namespace

void write_table(std::ostream& out, const ReleaseReport& r) {
    out << (r.title.empty() ? std::string("(no title)") : r.title) << "\nrelease\n\n";
    if (r.holes && r.front) {
        write_sizes(out, r);
        write_front(out, *r.front);
    }
    if (r.etch) write_etch(out, *r.etch);
    write_acids(out, r);
    if (r.film) write_film(out, *r.film);
    write_drying(out, r);
    write_limits(out, r.limits);
    if (!r.warnings.empty()) out << "\nWARNINGS\n";
    for (const Warning& w : r.warnings) out << "  " << wrapped(out, "! " + w.text, 2, 4) << '\n';
    out << "\nCAUTIONS\n";
    for (const std::string& caution : release_cautions(r)) out << "  " << wrapped(out, "- " + caution, 2, 4) << '\n';
}

}  // namespace tymbal
