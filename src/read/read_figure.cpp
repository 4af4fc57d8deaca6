#include "read_figure.h"

#include "../text/figures.h"
#include "beside.h"

#include "tymbal/geometry/boundary.h"
#include "tymbal/geometry/lattice.h"
#include "tymbal/geometry/overlap.h"
#include "tymbal/mask/hole_file.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace tymbal {

namespace {

constexpr std::size_t most_vertices = 20'000;
constexpr std::size_t most_holes = 1'000'000;

Rectangle read_rectangle(const DesignSection& s) {
    Rectangle r{s.sourced<Length>("width", ranges::lateral), s.sourced<Length>("height", ranges::lateral), Length{}};
    if (s.has("corner_radius")) r.corner_radius = s.plain<Length>("corner_radius", ranges::not_negative);
    if (r.corner_radius.si() > 0.5 * std::min(r.width.si(), r.height.si()))
        s.table().refuse("corner_radius", "is more than half the shorter side; use at most that, or shape = \"disc\"");
    if (std::max(r.width.si() / r.height.si(), r.height.si() / r.width.si()) > 1000.0)
        s.table().refuse("width",
                         "and height differ by more than a factor 1000; such a strip is a string, not a membrane");
    return r;
}

Ring read_ring(const DesignSection& s) {
    Ring r{s.sourced<Length>("outer_diameter", ranges::lateral), s.sourced<Length>("inner_diameter", ranges::lateral)};
    const double ratio = r.inner_diameter.si() / r.outer_diameter.si();
    if (ratio >= 1.0) s.table().refuse("inner_diameter", "must be smaller than outer_diameter");
    if (ratio > 0.98)
        s.table().refuse("inner_diameter", "leaves a ring narrower than 1 % of its diameter; that is a curved string");
    if (ratio < 0.01)
        s.table().refuse("inner_diameter", "is below 1 % of outer_diameter; such a post is a point for the film");
    return r;
}

Strip read_strip(const DesignSection& s) {
    Strip strip{s.sourced<Length>("length", ranges::lateral), s.sourced<Length>("width", ranges::lateral)};
    const double slender = strip.length.si() / strip.width.si();
    if (slender > 5000.0)
        s.table().refuse("width",
                         "is below a five-thousandth of length; widen it, or predict a shorter string: "
                         "frequencies go as 1/length");
    if (slender < 0.05)
        s.table().refuse("length", "is below a twentieth of width; length runs between the clamped ends");
    return strip;
}

/// The file draws holes, the design speaks of released ones: every edge moves by the biases and the wet etch between.
Sourced<Length> size_from_file(const DesignSection& s, const HoleFile& file, const char* size_key,
                               const std::optional<Process>& process, const HoleSize& wet) {
    if (!file.drawn_width_m) s.table().missing(size_key, "the holes' size; the file has none");
    double growth = wet.width, deviation = wet.deviation;
    if (process) {
        growth += process->lithography_bias.si() + process->etch_bias.si();
        deviation = std::hypot(deviation, process->lithography_bias.deviation_si(), process->etch_bias.deviation_si());
    }
    const double released = *file.drawn_width_m + 2.0 * growth;
    if (!(released >= ranges::lateral.low && released <= ranges::lateral.high))
        s.table().refuse("file",
                         std::string("draws holes that the biases of [process] and the wet etch bring to a size out of "
                                     "range; accepted: ") +
                             ranges::lateral.words);
    return {Length::from_si(released),
            Length::from_si(2.0 * deviation),
            {"as drawn in the file of holes, with the biases of [process] and the wet etch", Origin::derived}};
}

/// A design that gives the size speaks of released holes; a process hardly doubles or halves what is drawn.
void require_likely(const DesignSection& s, const HoleFile& file, const Sourced<Length>& size, const char* size_key) {
    if (!file.drawn_width_m) return;
    const double ratio = size.si() / *file.drawn_width_m;
    if (ratio > 0.5 && ratio < 2.0) return;
    s.table().refuse(size_key, "is more than a factor 2 off the size that the file of holes draws (" +
                                   plain(*file.drawn_width_m * 1e6, 4) +
                                   " um); correct one of them, or leave the key out to take the file's");
}

/// By so much centres in a file may be off the wanted ones, having been drawn on the address grid (1 nm without one).
double half_grid_diagonal(const std::optional<Process>& process) {
    const double grid = process && process->address_grid ? process->address_grid->si() : 1e-9;
    return 0.71 * grid;
}

Lattice to_lattice(const std::string& word) {
    if (word == "square") return Lattice::square;
    if (word == "triangular") return Lattice::triangular;
    if (word == "honeycomb") return Lattice::honeycomb;
    return Lattice::list;
}

struct HoleFigure {
    HoleShape shape;
    const char* size_key;
};

HoleFigure read_hole_figure(const DesignSection& s) {
    const std::string word = s.has("shape") ? s.choice("shape", {"circle", "square", "hexagon"}) : "circle";
    const HoleFigure figure = word == "circle"   ? HoleFigure{HoleShape::circle, "diameter"}
                              : word == "square" ? HoleFigure{HoleShape::square, "side"}
                                                 : HoleFigure{HoleShape::hexagon, "across_flats"};
    for (const char* other : {"diameter", "side", "across_flats"})
        if (s.has(other) && std::string(other) != figure.size_key)
            s.table().refuse(other, "does not belong to shape = \"" + word + "\"; give " + figure.size_key);
    return figure;
}

void refuse_foreign_keys(const DesignSection& s, const std::string& lattice) {
    const bool listed = lattice == "list" || lattice == "file";
    for (const char* key : {"pitch", "field", "omit"})
        if (listed && s.has(key)) s.table().refuse(key, "does not belong to lattice = \"" + lattice + "\"");
    if (lattice != "list" && s.has("centres")) s.table().refuse("centres", "belongs to lattice = \"list\"");
    if (lattice != "file" && s.has("file")) s.table().refuse("file", "belongs to lattice = \"file\"");
}

void read_extent(const DesignSection& s, const std::optional<Outline>& outline, HolePattern& holes) {
    if (!s.has("field")) {
        if (!outline && holes.lattice != Lattice::list)
            s.table().missing("field", "the extent of the hole field: outline.shape is \"hole-field\"");
        return;
    }
    const auto xy = s.table().quantities("field", Kind::length, 2);
    if (xy[0] <= 0.0 || xy[1] <= 0.0) s.table().refuse("field", "must have two sides above zero");
    if (std::max(xy[0], xy[1]) > ranges::lateral.high) s.table().refuse("field", "is larger than 10 cm");
    if (outline) {
        const Box box = bounding_box(boundary(*outline));
        if (xy[0] > box.high.x - box.low.x || xy[1] > box.high.y - box.low.y)
            s.table().refuse("field", "is larger than the outline; make it smaller or leave it out");
    }
    if (std::min(xy[0], xy[1]) < holes.size.si()) s.table().refuse("field", "is smaller than one hole");
    holes.field = {Length::from_si(xy[0]), Length::from_si(xy[1])};
}

void require_listed_inside(const DesignSection& s, const Outline& outline, const HolePattern& holes, const char* key,
                           double slack) {
    const Boundary rim = boundary(outline);
    for (std::size_t k = 0; k < holes.centres.size(); ++k)
        if (signed_distance(rim, holes.centres[k]) < 0.5 * holes.size.si() + holes.margin.si() - slack)
            s.table().refuse(
                key, "number " + std::to_string(k + 1) + " puts its hole outside the outline or into its margin");
}

void refuse_foreign_opening_keys(const DesignSection& s, const std::string& shape) {
    const auto belongs = [&](const char* owner, std::initializer_list<const char*> keys) {
        for (const char* key : keys)
            if (shape != owner && s.has(key)) s.table().refuse(key, "does not belong to shape = \"" + shape + "\"");
    };
    belongs("rectangle", {"width", "height", "corner_radius"});
    belongs("circle", {"diameter"});
    belongs("polygon", {"vertices"});
}

/// The opening of a shape that is known to be one of three.
Opening shaped(const DesignSection& s, const std::string& shape, Point centre, double angle) {
    if (shape == "circle") {
        const double diameter = s.plain<Length>("diameter", ranges::lateral).si();
        return {circle_figure(centre, diameter), diameter};
    }
    if (shape == "rectangle") {
        const double width = s.plain<Length>("width", ranges::lateral).si();
        const double height = s.plain<Length>("height", ranges::lateral).si();
        const double radius =
            s.has("corner_radius") ? s.plain<Length>("corner_radius", ranges::not_negative).si() : 0.0;
        if (radius > 0.5 * std::min(width, height))
            s.table().refuse("corner_radius", "is more than half the shorter side");
        return {rectangle_figure(centre, {width, height}, radius, angle), std::min(width, height)};
    }
    std::vector<Point> vertices = read_area(s, "vertices");
    const double c = std::cos(angle), sine = std::sin(angle);
    for (Point& p : vertices) p = {centre.x + c * p.x - sine * p.y, centre.y + sine * p.x + c * p.y};
    const Figure figure = polygon_figure(vertices);
    return {figure, 2.0 * area(figure) / perimeter(figure)};  // the width of a long strip; a lower bound for others
}

}  // namespace

std::vector<Point> read_area(const DesignSection& s, const std::string& key) {
    std::vector<Point> points = s.table().points(key, most_vertices);
    if (points.size() < 3) s.table().refuse(key, "needs at least three points");
    for (std::size_t k = 0; k < points.size(); ++k) {
        const Point a = points[k], b = points[(k + 1) % points.size()];
        if (std::hypot(a.x - b.x, a.y - b.y) == 0.0)
            s.table().refuse(key, "has the same point twice in a row (numbers " + std::to_string(k + 1) +
                                      " and the next; "
                                      "the first point is not repeated at the end)");
        if (std::max(std::abs(a.x), std::abs(a.y)) > 0.1)
            s.table().refuse(key, "has a point more than 10 cm from the origin");
    }
    if (const auto edges = crossing_edges(points))
        s.table().refuse(key, "crosses itself: the edges after points " + std::to_string((*edges)[0] + 1) + " and " +
                                  std::to_string((*edges)[1] + 1) + " meet");
    const double enclosed = polygon_area(points);
    if (std::abs(enclosed) < 1e-14) s.table().refuse(key, "encloses less than 0.01 um^2");
    if (enclosed < 0.0) std::reverse(points.begin(), points.end());
    return points;
}

Opening read_opening(const DesignSection& s, const Outline& outline) {
    const std::string shape = s.choice("shape", {"rectangle", "circle", "polygon"});
    refuse_foreign_opening_keys(s, shape);
    const Point centre = s.has("centre") ? s.point("centre") : Point{};
    const double angle = s.has("angle") ? s.plain<Angle>("angle", ranges::any).si() : 0.0;
    Opening opening = shaped(s, shape, centre, angle);
    const Box box = bounding_box(opening.figure), rim = bounding_box(boundary(outline));
    if (box.low.x > rim.high.x || box.high.x < rim.low.x || box.low.y > rim.high.y || box.high.y < rim.low.y)
        s.table().refuse("centre", "puts the opening wholly outside the outline; remove it or move it");
    return opening;
}

bool is_hole_field(const DesignSection& s) {
    return s.has("shape") && s.text("shape") == "hole-field";
}

const std::vector<std::string>& outline_shapes() {
    static const std::vector<std::string> shapes{"rectangle", "disc", "ring", "polygon", "strip", "hole-field"};
    return shapes;
}

Outline read_outline(const DesignSection& s) {
    const std::string shape = s.choice("shape", outline_shapes());
    const std::vector<std::string> own =
        shape == "rectangle" ? std::vector<std::string>{"width", "height", "corner_radius"}
        : shape == "disc"    ? std::vector<std::string>{"diameter"}
        : shape == "ring"    ? std::vector<std::string>{"outer_diameter", "inner_diameter"}
        : shape == "strip"   ? std::vector<std::string>{"length", "width"}
                             : std::vector<std::string>{"vertices"};
    for (const std::string& key : s.table().keys())
        if (key != "shape" && std::find(own.begin(), own.end(), key) == own.end())
            s.table().refuse(key, "does not belong to shape = \"" + shape + "\"");
    if (shape == "rectangle") return read_rectangle(s);
    if (shape == "disc") return Disc{s.sourced<Length>("diameter", ranges::lateral)};
    if (shape == "ring") return read_ring(s);
    if (shape == "strip") return read_strip(s);
    return Polygon{read_area(s, "vertices")};
}

std::string hole_file_path(const DesignSection& s, const std::string& named_by_user) {
    if (!s.has("lattice") || s.text("lattice") != "file") return "";
    if (!named_by_user.empty()) return named_by_user;
    if (!s.has("file")) s.table().missing("file", "the file of holes, .csv or .gds");
    return path_beside(s.table(), "file", "; to read another one, name it yourself (hole_file)");
}

HolePattern read_holes(const DesignSection& s, const std::optional<Outline>& outline,
                       const std::optional<Process>& process, const HoleSize& wet, const std::string& hole_file) {
    const std::string word = s.choice("lattice", {"square", "triangular", "honeycomb", "list", "file"});
    const Lattice lattice = to_lattice(word);
    const bool listed = lattice == Lattice::list, from_file = word == "file";
    const HoleFigure figure = read_hole_figure(s);
    refuse_foreign_keys(s, word);
    const double angle = s.has("angle") ? s.plain<Angle>("angle", ranges::any).si() : 0.0;
    const HoleFile file = from_file ? read_hole_file(hole_file_path(s, hole_file), figure.shape, angle) : HoleFile{};
    const Sourced<Length> size = from_file && !s.has(figure.size_key)
                                     ? size_from_file(s, file, figure.size_key, process, wet)
                                     : s.sourced<Length>(figure.size_key, ranges::lateral);
    require_likely(s, file, size, figure.size_key);
    HolePattern holes{lattice, figure.shape, size, listed ? size : s.sourced<Length>("pitch", ranges::lateral),
                      angle,   Length{},     {},   file.centres,
                      {}};
    if (!outline && s.has("margin"))
        s.table().refuse("margin", "does not belong to outline.shape = \"hole-field\": the undercut sets the margin");
    holes.margin = s.has("margin") ? s.plain<Length>("margin", ranges::not_negative)
                                   : Length::from_si(listed || !outline ? 0.0 : 0.5 * holes.pitch.si());
    if (word == "list") {
        holes.centres = s.table().points("centres", most_holes);
        if (holes.centres.empty()) s.table().refuse("centres", "is empty; leave [holes] out for a film without holes");
    }
    const char* const list_key = from_file ? "file" : "centres";
    if (listed && outline)
        require_listed_inside(s, *outline, holes, list_key, from_file ? half_grid_diagonal(process) : 0.0);
    if (s.has("omit")) holes.omit = s.table().index_pairs("omit", most_holes);
    read_extent(s, outline, holes);
    if (pattern_overlaps(holes))
        s.table().refuse(listed ? list_key : "pitch",
                         std::string("lets neighbouring holes touch or overlap; the pitch must exceed the hole's ") +
                             figure.size_key + ", " + plain(1e6 * holes.size.si(), 4) +
                             " um, with a ligament to spare");
    return holes;
}

}  // namespace tymbal
