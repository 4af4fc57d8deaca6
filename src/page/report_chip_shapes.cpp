// The lowest modes' shapes on a device's card: small pictures, and on a page of many devices fewer of each.
#include "../text/figures.h"
#include "../text/markup.h"
#include "film_picture.h"
#include "mode_picture.h"
#include "report_chip_parts.h"
#include "report_figures.h"

#include <algorithm>

namespace tymbal {

namespace {

// A picture takes some 4 kB.
constexpr std::size_t most_of_each = 6, most_of_page = 240;
constexpr double picture = 96.0;
constexpr double least_hole = 3.0;  // units: finer ones are not cut out of so small a picture

DesignDrawing drawing_of(const Device& device) {
    DesignDrawing drawing = draw_design(device);
    const Frame frame = picture_frame(drawing, picture);
    drawing.holes_resolved = drawing.holes_resolved && frame.scale * drawing.hole_size >= least_hole;
    return drawing;
}

}  // namespace

std::size_t shapes_of_each(std::size_t devices) {
    return std::clamp<std::size_t>(most_of_page / std::max<std::size_t>(devices, 1), 1, most_of_each);
}

void write_card_shapes(std::ostream& out, const ChipDevice& device, const Prediction& prediction, std::size_t most) {
    const DesignDrawing drawing = drawing_of(device.device);
    const Frame frame = picture_frame(drawing, picture);
    const std::string size = coordinate(frame.width()) + " " + coordinate(frame.height());
    const std::string of = "-" + device.name;
    out << "<svg class=\"shared\" aria-hidden=\"true\">";
    define_film(out, drawing, frame, of);
    out << "</svg>\n<div class=\"shapes\">\n";
    for (std::size_t k = 0; k < std::min(most, prediction.modes.size()); ++k) {
        const Mode& mode = prediction.modes[k].mode;
        out << "<figure><svg class=\"shape\" viewBox=\"0 0 " << size << "\" role=\"img\" aria-label=\"Shape of mode "
            << markup_text(mode.label) << " of device " << markup_text(device.name) << "\"><g "
            << only_film(drawing, of) << ">";
        draw_small_shape(out, mode.shape, frame);
        out << "</g>";
        draw_edges(out, drawing, frame, of);
        out << "</svg><figcaption>" << html(mode.label) << "</figcaption></figure>\n";
    }
    out << "</div>\n";
}

}  // namespace tymbal
