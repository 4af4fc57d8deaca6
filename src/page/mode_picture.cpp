#include "mode_picture.h"

#include "../text/figures.h"
#include "report_figures.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace tymbal {

namespace {

constexpr int most_points = 96;        // across a picture
constexpr int most_points_open = 160;  // where openings leave strips of film

/// Lower border of a band of displacement, -1 to 1.
double band_border(int band) {
    return 2.0 * band / diverging_bands - 1.0;
}

int band_of(double w) {
    return std::clamp(static_cast<int>(std::floor(0.5 * (w + 1.0) * diverging_bands)), 0, diverging_bands - 1);
}

/// How finely a shape is drawn.
struct Detail {
    double fineness;   ///< of the raster, of the usual number of points
    double tolerance;  ///< of its lines, units
};

std::string lines_of(std::vector<Polyline> lines, const Frame& frame, const Detail& detail, bool closed) {
    if (detail.tolerance > 0.0)
        for (Polyline& line : lines) line = simplified(line, detail.tolerance / frame.scale);
    return path_of(lines, frame, closed);
}

void draw_bands(std::ostream& out, const Raster& shape, const Frame& frame, const Detail& detail) {
    const auto [least, most] = std::minmax_element(shape.values.begin(), shape.values.end());
    const int first = band_of(*least);
    out << "<rect class=\"d" << first << "\" width=\"" << coordinate(frame.width()) << "\" height=\""
        << coordinate(frame.height()) << "\"/>";
    for (int band = first + 1; band <= band_of(*most); ++band)
        out << "<path class=\"d" << band << "\" d=\""
            << lines_of(regions_above(shape, band_border(band)), frame, detail, true) << "\"/>";
    out << '\n';
}

/// The shape continued from inside beyond the rim, so that nodal lines reach it; numbers that are zero but for rounding
/// are zero.
Raster continued(Raster shape) {
    constexpr double noise = 1e-7;  // of the largest displacement
    for (double& w : shape.values)
        if (w == 0.0) w = std::numeric_limits<double>::quiet_NaN();  // no unknown of the grid: outside, or on its rim
    shape = filled_outwards(widened(shape), 2);
    for (double& w : shape.values)
        if (std::abs(w) < noise) w = 0.0;
    return shape;
}

/// Does any part of a line lie where values are known?
bool on_film(const Polyline& line, const Raster& known) {
    return std::any_of(line.begin(), line.end(), [&](Point p) {
        const int i = static_cast<int>(std::lround((p.x - known.x0) / known.dx));
        const int j = static_cast<int>(std::lround((p.y - known.y0) / known.dy));
        return !std::isnan(known.at(std::clamp(i, 0, known.columns - 1), std::clamp(j, 0, known.rows - 1)));
    });
}

/// Specks at a ragged rim are no nodal lines, nor is what crosses openings alone.
std::vector<Polyline> nodal_lines(const Raster& shape, const Raster& known) {
    std::vector<Polyline> lines = zero_lines(continued(shape));
    const double least = 3.0 * std::max(shape.dx, shape.dy);
    const auto none = [&](const Polyline& l) { return length(l) < least || !on_film(l, known); };
    lines.erase(std::remove_if(lines.begin(), lines.end(), none), lines.end());
    return lines;
}

std::size_t draw_shape(std::ostream& out, const ShapeRaster& raster, const Frame& frame, const Detail& detail) {
    const Raster known = raster_of(raster);
    const int points = raster.open.empty() ? most_points : most_points_open;
    const Raster shape = covering(known, static_cast<int>(detail.fineness * points));
    const std::vector<Polyline> nodal = nodal_lines(shape, known);
    draw_bands(out, shape, frame, detail);
    if (!nodal.empty()) out << "<path class=\"nodal\" d=\"" << lines_of(nodal, frame, detail, false) << "\"/>\n";
    return nodal.size();
}

}  // namespace

Frame picture_frame(const DesignDrawing& drawing, double units) {
    Boundary all = drawing.outline;
    all.insert(all.end(), drawing.front.begin(), drawing.front.end());
    return frame_round(bounding_box(all), units, 0.03);
}

std::size_t draw_shape(std::ostream& out, const ShapeRaster& raster, const Frame& frame) {
    return draw_shape(out, raster, frame, {1.0, 0.0});
}

void draw_small_shape(std::ostream& out, const ShapeRaster& raster, const Frame& frame) {
    (void)draw_shape(out, raster, frame, {0.4, 0.2});
}

void displacement_bar(std::ostream& out) {
    std::vector<std::string> labels(diverging_bands + 1);
    labels.front() = std::string("-1");
    labels.back() = std::string("1");
    out << "<div class=\"legend\">";
    colour_bar(out, 'd', labels, "Colours of displacement, from minus one over zero in the middle to one");
    out << "</div>\n";
}

void draw_spot(std::ostream& out, const std::optional<Readout>& readout, const Frame& frame) {
    if (!readout) return;
    for (const char* line : {"halo", "spot"})  // a light line below the dashes, to be seen on any colour
        out << "<circle class=\"" << line << "\" cx=\"" << coordinate(frame.x(readout->position.x)) << "\" cy=\""
            << coordinate(frame.y(readout->position.y)) << "\" r=\""
            << coordinate(frame.scale * readout->spot_radius.si()) << "\"/>";
    out << '\n';
}

void draw_scale_bar(std::ostream& out, const Frame& frame) {
    const double metres = scale_bar_length(frame.box.high.x - frame.box.low.x, 0.3);
    const double length = frame.scale * metres, y = frame.height() + 14.0, x = 0.04 * frame.width();
    out << "<path class=\"scale\" d=\"M" << coordinate(x) << ' ' << coordinate(y - 4.0) << "v8m0 -4h"
        << coordinate(length) << "m0 -4v8\"/><text class=\"lead\" x=\"" << coordinate(x + length + 8.0) << "\" y=\""
        << coordinate(y + 4.0) << "\">" << html(plain(1e6 * metres, 3) + " um") << "</text>\n";
}

}  // namespace tymbal
