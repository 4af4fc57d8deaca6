#include "plan_shapes.h"

#include "tymbal/geometry/strip.h"

#include "../task/front_inside.h"
#include "../task/holes_in_place.h"
#include "../text/figures.h"
#include "film_picture.h"

#include <cmath>

namespace tymbal {

namespace {

constexpr std::size_t most_drawn_holes = 60'000;
constexpr double least_hole = 0.6;  // pixels: finer ones are a field

DesignDrawing holes_alone(const DeviceShapes& p) {
    DesignDrawing d;
    d.hole_centres = p.hole_centres;
    d.hole_corners = p.hole_corners;
    d.hole_size = p.hole_size;
    return d;
}

std::string path(const std::string& d, const std::string& look) {
    return "<path d=\"" + d + "\" " + look + "/>\n";
}

std::string look(const std::string& fill, const std::string& stroke, double width) {
    return "fill=\"" + fill + "\" fill-rule=\"evenodd\" stroke=\"" + stroke + "\" stroke-width=\"" + plain(width, 2) +
           "\"";
}

std::string hole_shapes(const DeviceShapes& p, const Frame& frame) {
    if (p.hole_centres.empty()) return "";
    if (!draws_holes(p, frame)) {
        const Box b = bounding_box(p.hole_centres);
        return path(path_of(polygon_figure({b.low, {b.high.x, b.low.y}, b.high, {b.low.x, b.high.y}}), frame),
                    look("none", plan_colours::edge, 0.8) + " stroke-dasharray=\"2 2\"");
    }
    const DesignDrawing d = holes_alone(p);
    if (!p.hole_corners.empty())
        return path(hole_polygons(d, frame), look(plan_colours::open, plan_colours::edge, 0.4));
    const double width = frame.scale * p.hole_size;
    const auto dots = [&](const char* colour, double wide) {
        return path(hole_dots(d, frame), std::string("fill=\"none\" stroke-linecap=\"round\" stroke=\"") + colour +
                                             "\" stroke-width=\"" + plain(wide, 4) + "\"");
    };
    return (width > 5.0 ? dots(plan_colours::edge, width + 0.8) : std::string()) + dots(plan_colours::open, width);
}

}  // namespace

DeviceShapes device_plan(const Device& device, bool fronts) {
    DeviceShapes p;
    p.outline = boundary(device.outline);
    for (const Opening& o : device.openings) p.openings.push_back(o.figure);
    if (const auto* strip = std::get_if<Strip>(&device.outline))
        for (const Figure& f : trenches(*strip, strip->width.si())) p.openings.push_back(f);
    for (const FilmPatch& patch : device.patches) p.patches.push_back(patch.area);
    if (!device.holes) return p;
    const PlacedHoles holes = holes_in_place(device);
    p.hole_centres = holes.centres;
    p.hole_size = holes.size;
    const double c = std::cos(holes.angle_rad), s = std::sin(holes.angle_rad);
    for (const Point& k : figure(holes.shape, holes.size))
        p.hole_corners.push_back({c * k.x - s * k.y, s * k.x + c * k.y});
    if (fronts) p.front = front_inside(device, holes);
    return p;
}

Box extent_of(const DeviceShapes& p) {
    std::vector<Point> corners;
    const auto add = [&corners](const Box& b) { corners.insert(corners.end(), {b.low, b.high}); };
    add(bounding_box(p.outline));
    if (!p.front.empty()) add(bounding_box(p.front));
    for (const Figure& f : p.openings) add(bounding_box(f));
    return bounding_box(corners);
}

bool draws_holes(const DeviceShapes& p, const Frame& frame) {
    return p.hole_centres.size() <= most_drawn_holes && frame.scale * p.hole_size >= least_hole;
}

std::string spot_shape(const Device& device, const Frame& frame) {
    if (!device.readout) return "";
    const Readout& r = *device.readout;
    return "<circle cx=\"" + coordinate(frame.x(r.position.x)) + "\" cy=\"" + coordinate(frame.y(r.position.y)) +
           "\" r=\"" + coordinate(frame.scale * r.spot_radius.si()) + "\" fill=\"none\" stroke=\"" +
           plan_colours::spot + "\" stroke-width=\"1.5\"/>\n";
}

std::string device_shapes(const DeviceShapes& p, const Frame& frame, const std::string& film) {
    std::string out = path(path_of(p.outline, frame), look(film, plan_colours::edge, 1.2));
    if (!p.patches.empty())
        out += path(path_of(p.patches, frame, true), look(plan_colours::patch, "none", 0.0) + " fill-opacity=\"0.75\"");
    for (const Figure& f : p.openings)
        out += path(path_of(f, frame), look(plan_colours::open, plan_colours::edge, 0.8));
    // Over the lines of openings that overlap: one opening has no edge inside another.
    for (const Figure& f : p.openings) out += path(path_of(f, frame), look(plan_colours::open, "none", 0.0));
    out += hole_shapes(p, frame);
    if (!p.front.empty())
        out += path(path_of(p.front, frame), look("none", plan_colours::front, 1.1) + " stroke-dasharray=\"4 3\"");
    return out;
}

}  // namespace tymbal
