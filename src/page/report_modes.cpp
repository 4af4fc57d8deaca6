// A picture of each mode: displacement in bands of colour, nodal lines, the readout spot.
#include "../text/figures.h"
#include "film_picture.h"
#include "mode_picture.h"
#include "report_figures.h"
#include "report_parts.h"

#include <algorithm>
#include <cmath>
#include <sstream>

namespace tymbal {

namespace {

std::string in_words(const PredictedMode& m, std::size_t lines) {
    std::string text =
        "Shape of mode " + std::to_string(m.mode.index) + ", " + m.mode.label + ", at " + frequency_text(m.mode) + ": ";
    text += lines == 0 ? "no nodal line" : std::to_string(lines) + (lines == 1 ? " nodal line" : " nodal lines");
    if (m.figures.spot_overlap)
        text += "; the spot sees " + overlap_text(*m.figures.spot_overlap) + " of the largest displacement";
    return text + ".";
}

void write_picture(std::ostream& out, const Report& report, const PredictedMode& m, const Frame& frame) {
    std::ostringstream shape;
    const std::size_t nodal = draw_shape(shape, m.mode.shape, frame);
    const std::string number = std::to_string(m.mode.index);
    out << "<svg class=\"shape\" viewBox=\"0 0 " << coordinate(frame.width()) << ' ' << coordinate(frame.height())
        << "\" role=\"img\" aria-labelledby=\"shape-title-" << number << "\" data-field=\"mode-" << number
        << "\">\n<title id=\"shape-title-" << number << "\">" << html(in_words(m, nodal)) << "</title>\n<g "
        << only_film(report.drawing) << ">\n"
        << shape.str() << "</g>\n";
    draw_edges(out, report.drawing, frame);
    draw_spot(out, report.design.readout, frame);
    out << "</svg>\n";
}

void write_card(std::ostream& out, const Report& report, const PredictedMode& m, const Frame& frame) {
    const std::string number = std::to_string(m.mode.index);
    out << "<figure class=\"card\" id=\"mode-" << number << "\" data-mode=\"" << number << "\">\n";
    write_picture(out, report, m, frame);
    out << "<figcaption><strong>" << number << " " << html(m.mode.label) << "</strong> " << html(frequency_text(m.mode))
        << "<br>Q " << html(rough(m.losses.total.low)) << " to " << html(rough(m.losses.total.high)) << ", "
        << html(with_prefix(1e3 * m.figures.effective_mass_kg, "g", 3));
    if (m.figures.spot_overlap) out << ", spot " << html(overlap_text(*m.figures.spot_overlap));
    out << "</figcaption>\n</figure>\n";
}

void write_picker(std::ostream& out, const Report& report) {
    out << "<p class=\"picker\" id=\"picker\" hidden><label for=\"pick\">Show mode</label> <select id=\"pick\">"
           "<option value=\"\">all</option>";
    for (const PredictedMode& m : report.prediction.modes)
        out << "<option value=\"" << m.mode.index << "\">" << m.mode.index << ' ' << html(m.mode.label) << ", "
            << html(frequency_text(m.mode)) << "</option>";
    out << "</select> <output id=\"picked\" for=\"pick\"></output></p>\n";
}

}  // namespace

std::string frequency_text(const Mode& mode) {
    const FrequencyUnit unit = frequency_unit(mode.frequency_hz);
    const std::string text =
        with_stated(mode.frequency_hz, mode.frequency_std_hz, mode.discretisation_error_hz, unit.scale);
    return text.substr(0, text.find(" -")).append(" ").append(unit.name);  // no table's note explains the dash here
}

void write_shapes_section(std::ostream& out, const Report& report) {
    const Frame frame = picture_frame(report.drawing);
    begin_section(out, "shapes", "Mode shapes");
    out << "<p>Displacement over its largest; nodal lines dark, the readout spot dashed.</p>\n";
    displacement_bar(out);
    write_picker(out, report);
    out << "<div class=\"cards\">\n";
    for (const PredictedMode& m : report.prediction.modes) write_card(out, report, m, frame);
    out << "</div>\n";
    end_section(out);
}

}  // namespace tymbal
