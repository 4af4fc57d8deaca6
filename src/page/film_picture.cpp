#include "film_picture.h"

#include "../text/figures.h"

#include <cmath>
#include <vector>

namespace tymbal {

namespace {

constexpr std::size_t most_cut_holes = 6'000;  // more are finer than a picture shows
constexpr double free_line = 0.8;              // width of what is seen of a free edge, units
constexpr double cover = 1.5;                  // on paper a mask leaves a hair of colour along its own edge: covered

bool anything_cut(const DesignDrawing& d) {
    return !d.openings.empty() || holes_cut_out(d);
}

bool round_holes(const DesignDrawing& d) {
    return d.hole_corners.empty();
}

/// A pen that draws the holes as dots, `wider` than they are.
std::string pen(const DesignDrawing& d, const Frame& frame, double wider) {
    return std::string("fill=\"none\" stroke-linecap=\"round\" stroke-width=\"")
        .append(plain(frame.scale * d.hole_size + wider, 4))
        .append("\"");
}

/// The drawing as a rectangle's place and size, `inset` smaller on all sides.
std::string whole(const Frame& frame, double inset = 0.0) {
    const std::string at = coordinate(inset);
    return std::string("x=\"")
        .append(at)
        .append("\" y=\"")
        .append(at)
        .append("\" width=\"")
        .append(coordinate(frame.width() - 2.0 * inset))
        .append("\" height=\"")
        .append(coordinate(frame.height() - 2.0 * inset))
        .append("\"");
}

void define_mask(std::ostream& out, const DesignDrawing& d, const Frame& frame, const std::string& of) {
    const bool holes = holes_cut_out(d), dots = holes && round_holes(d);
    out << "<path id=\"openings" << of << "\" d=\"" << path_of(d.openings, frame)
        << (holes && !dots ? hole_polygons(d, frame) : std::string()) << "\"/>";
    if (dots) out << "<path id=\"holes" << of << "\" d=\"" << hole_dots(d, frame) << "\"/>";
    out << "<mask id=\"inside" << of << "\" maskUnits=\"userSpaceOnUse\" " << whole(frame) << "><use href=\"#rim" << of
        << "\" fill=\"#fff\" fill-rule=\"evenodd\"/><use href=\"#openings" << of << "\" fill=\"#000\"/>";
    if (dots) out << "<use href=\"#holes" << of << "\" stroke=\"#000\" " << pen(d, frame, 0.0) << "/>";
    out << "</mask><clipPath id=\"within" << of << "\"><rect " << whole(frame, cover) << "/></clipPath>";
}

}  // namespace

bool holes_cut_out(const DesignDrawing& d) {
    return d.holes_resolved && !d.hole_centres.empty() && d.hole_centres.size() <= most_cut_holes;
}

void define_film(std::ostream& out, const DesignDrawing& d, const Frame& frame, const std::string& of) {
    const std::string path = path_of(d.outline, frame);
    out << "<defs><path id=\"rim" << of << "\" d=\"" << path << "\"/>";
    if (anything_cut(d))
        define_mask(out, d, frame, of);
    else
        out << "<clipPath id=\"inside" << of << "\"><path clip-rule=\"evenodd\" d=\"" << path << "\"/></clipPath>";
    out << "</defs>";
}

std::string only_film(const DesignDrawing& d, const std::string& of) {
    const std::string inside = "=\"url(#inside" + of + ")\"";
    return anything_cut(d) ? "mask" + inside + " clip-path=\"url(#within" + of + ")\"" : "clip-path" + inside;
}

void draw_edges(std::ostream& out, const DesignDrawing& d, const Frame& frame, const std::string& of) {
    if (!anything_cut(d)) {
        out << "<use href=\"#rim" << of << "\" class=\"rim\"/>\n";
        return;
    }
    // Under the mask half of each line is seen, on the film's side, and none where an opening crosses the rim.
    out << "<g " << only_film(d, of) << "><use href=\"#openings" << of << "\" class=\"free\" stroke-width=\""
        << 2.0 * free_line << "\"/>";
    if (holes_cut_out(d) && round_holes(d) && frame.scale * d.hole_size > 6.0 * free_line)
        out << "<use href=\"#holes" << of << "\" class=\"free\" " << pen(d, frame, 2.0 * free_line) << "/>";
    out << "<use href=\"#rim" << of << "\" class=\"clamp\"/></g>";
    out << "<rect class=\"cover\" " << whole(frame, cover) << "/>\n";
}

std::string hole_dots(const DesignDrawing& d, const Frame& frame) {
    std::string path;
    double x = 0.0, y = 0.0;  // where the pen is after rounding
    for (const Point& c : d.hole_centres) {
        const double dx = std::round(100.0 * (frame.x(c.x) - x)) / 100.0;
        const double dy = std::round(100.0 * (frame.y(c.y) - y)) / 100.0;
        path.append("m").append(plain(dx, 6)).append(" ").append(plain(dy, 6)).append("h0");
        x += dx;
        y += dy;
    }
    return path;
}

std::string hole_polygons(const DesignDrawing& d, const Frame& frame) {
    std::vector<Polyline> all;
    for (const Point& c : d.hole_centres) {
        Polyline line;
        for (const Point& k : d.hole_corners) line.push_back({c.x + k.x, c.y + k.y});
        all.push_back(line);
    }
    return path_of(all, frame, true);
}

}  // namespace tymbal
