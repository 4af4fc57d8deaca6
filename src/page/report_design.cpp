// The design to scale: outline, holes, what the etch sets free, the readout spot, a scale bar.
#include "../print/field_words.h"
#include "../text/figures.h"
#include "film_picture.h"
#include "mode_picture.h"
#include "report_figures.h"
#include "report_parts.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

constexpr std::size_t most_drawn_holes = 60'000;

void draw_holes(std::ostream& out, const DesignDrawing& d, const Frame& frame) {
    if (d.hole_centres.empty() || holes_cut_out(d)) return;
    if (d.hole_centres.size() > most_drawn_holes) {
        const Frame field{bounding_box(d.hole_centres), frame.scale};
        out << "<rect class=\"field\" x=\"" << coordinate(frame.x(field.box.low.x)) << "\" y=\""
            << coordinate(frame.y(field.box.high.y)) << "\" width=\"" << coordinate(field.width()) << "\" height=\""
            << coordinate(field.height()) << "\"/>\n";
        return;
    }
    if (d.hole_corners.empty())
        out << "<path class=\"dots\" stroke-width=\"" << plain(frame.scale * d.hole_size, 4) << "\" d=\""
            << hole_dots(d, frame) << "\"/>\n";
    else
        out << "<path class=\"hole\" d=\"" << hole_polygons(d, frame) << "\"/>\n";
}

std::string in_words(const Report& r, const Frame& frame) {
    const Box box = bounding_box(r.drawing.outline);
    std::string text = "Plan of the membrane, " + with_prefix(box.high.x - box.low.x, "m", 4) + " wide and " +
                       with_prefix(box.high.y - box.low.y, "m", 4) + " high";
    if (!r.drawing.hole_centres.empty())
        text += ", with " + std::to_string(r.drawing.hole_centres.size()) + " holes " +
                with_prefix(r.drawing.hole_size, "m", 3) + " wide";
    if (!r.design.openings.empty())
        text += ", with " + std::to_string(r.design.openings.size()) +
                (r.design.openings.size() == 1 ? " single opening" : " single openings");
    if (r.drawing.hole_centres.size() > most_drawn_holes) text += " (too many to draw each: their field is hatched)";
    if (r.design.readout)
        text += "; readout spot of radius " + with_prefix(r.design.readout->spot_radius.si(), "m", 3) + " at (" +
                plain(1e6 * r.design.readout->position.x) + ", " + plain(1e6 * r.design.readout->position.y) + ") um";
    return text + "; the bar is " + plain(1e6 * scale_bar_length(frame.box.high.x - frame.box.low.x, 0.3), 3) +
           " um long.";
}

void key_line(std::ostream& out, const char* kind, const char* words) {
    out << "<span class=\"key " << kind << "\"></span>" << words << ' ';
}

void write_key(std::ostream& out, const Report& r) {
    key_line(
        out, "k-film",
        std::holds_alternative<Released>(r.design.outline) ? "suspended film, set free by the etch" : "suspended film");
    if (!r.drawing.hole_centres.empty()) key_line(out, "k-hole", "holes");
    if (!r.drawing.openings.empty()) key_line(out, "k-open", "openings");
    if (!r.drawing.front.empty()) key_line(out, "k-front", "reach of the etch");
    if (r.design.readout) key_line(out, "k-spot", "light, 1/e\u00b2 radius");
}

std::string square_micrometres(double square_metres) {
    return fixed(1e12 * square_metres, 0) + " \u00b5m\u00b2";
}

std::vector<Fact> dimensions(const Report& r) {
    const Device& d = r.design;
    const Box box = bounding_box(r.drawing.outline);
    std::vector<Fact> rows{
        {"Film", d.film.material},
        {"Thickness", thickness_words(r.prediction.released)},
        {"Extent", with_prefix(box.high.x - box.low.x, "m", 4) + " by " + with_prefix(box.high.y - box.low.y, "m", 4)},
        {d.openings.empty() ? "Suspended area" : "Area inside the outline",
         square_micrometres(r.prediction.film.outline_area_m2)}};
    if (r.prediction.released.taken) rows.push_back({"Taken by the etch", taken_words(r.prediction.released)});
    if (!d.openings.empty())
        rows.push_back({"Film left by openings",
                        square_micrometres(r.prediction.film.mass_kg / (d.film.thickness.si() * d.film.density.si()))});
    if (!r.drawing.hole_centres.empty()) {
        rows.push_back({"Holes", std::to_string(r.drawing.hole_centres.size()) + " of " +
                                     any_size(1e6 * d.holes->size.si(), 1e6 * d.holes->size.deviation_si()) + " um"});
        if (d.holes->lattice != Lattice::list) rows.push_back({"Pitch", plain(1e6 * d.holes->pitch.si(), 4) + " um"});
    }
    if (const auto& field = r.prediction.released.field) {
        rows.push_back({"Field of holes asked for", field_filled(*field)});
        rows.push_back({"A row less or more from", next_fields(*field)});
    }
    if (!d.openings.empty()) rows.push_back({"Openings", std::to_string(d.openings.size())});
    if (d.release) rows.push_back({"Gap below", plain(1e6 * d.release->gap.si(), 4) + " um"});
    if (d.readout) {
        rows.push_back({"Light", plain(1e9 * d.readout->wavelength.si(), 6) + " nm"});
        rows.push_back({"Spot radius", plain(1e6 * d.readout->spot_radius.si(), 4) + " um"});
    }
    return rows;
}

}  // namespace

void write_drawing_section(std::ostream& out, const Report& report) {
    const Frame frame = picture_frame(report.drawing);
    begin_section(out, "design", "Design");
    out << "<svg class=\"shared\" aria-hidden=\"true\" focusable=\"false\">";
    define_film(out, report.drawing, frame);
    out << "</svg>\n";
    out << "<div class=\"pair\">\n<figure>\n<svg id=\"plan\" class=\"plan\" viewBox=\"0 0 " << coordinate(frame.width())
        << ' ' << coordinate(frame.height() + scale_strip)
        << "\" role=\"img\" aria-labelledby=\"plan-title\">\n<title id=\"plan-title\">" << html(in_words(report, frame))
        << "</title>\n";
    if (!report.drawing.front.empty())
        out << "<path class=\"front\" d=\"" << path_of(report.drawing.front, frame) << "\"/>\n";
    out << "<g " << only_film(report.drawing) << "><use href=\"#rim\" class=\"film\"/></g>\n";
    draw_edges(out, report.drawing, frame);
    draw_holes(out, report.drawing, frame);
    draw_spot(out, report.design.readout, frame);
    draw_scale_bar(out, frame);
    out << "</svg>\n<figcaption>To scale. ";
    write_key(out, report);
    out << "</figcaption>\n</figure>\n";
    facts(out, "As released", dimensions(report));
    out << "</div>\n";
    end_section(out);
}

}  // namespace tymbal
