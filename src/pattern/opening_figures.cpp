#include "tymbal/pattern/opening_figures.h"

#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"

#include <polyclipping/clipper.hpp>

#include <algorithm>
#include <array>
#include <cmath>

namespace tymbal {

namespace {

namespace clip = ClipperLib;

constexpr double fine = 16.0;  // steps of the arithmetic in a database unit, before anything is put on the grid

clip::IntPoint fine_point(Point p) {
    return {std::llround(p.x / drawn_unit_m * fine), std::llround(p.y / drawn_unit_m * fine)};
}

double turn_of(const Edge& e) {
    const double ax = e.a.x - e.centre.x, ay = e.a.y - e.centre.y;
    const double bx = e.b.x - e.centre.x, by = e.b.y - e.centre.y;
    return std::atan2(ax * by - ay * bx, ax * bx + ay * by);
}

/// Radius of the corners between the ends of an arc of `count` chords: the sectors then have the arc's area.
double radius_between(double radius, double each, int count) {
    const double share = radius * radius * count * each / std::sin(each);
    if (count == 2) return 0.5 * share / radius;
    return (std::sqrt(radius * radius + (count - 2) * share) - radius) / (count - 2);
}

void add_chords(const Edge& e, double sagitta, clip::Path& path) {
    path.push_back(fine_point(e.a));
    if (e.radius == 0.0) return;
    const double turn = turn_of(e);
    const double step = std::clamp(std::sqrt(8.0 * sagitta / e.radius), 1e-3, 0.4);
    const int count = std::max(2, static_cast<int>(std::ceil(std::abs(turn) / step)));
    const double radius = radius_between(e.radius, std::abs(turn) / count, count);
    const double from = std::atan2(e.a.y - e.centre.y, e.a.x - e.centre.x);
    for (int k = 1; k < count; ++k) {
        const double angle = from + turn * k / count;
        path.push_back(fine_point({e.centre.x + radius * std::cos(angle), e.centre.y + radius * std::sin(angle)}));
    }
}

clip::PolyTree united(const std::vector<Figure>& openings, double sagitta) {
    clip::Clipper clipper;
    for (const Figure& figure : openings) {
        clip::Path path;
        for (const Edge& e : figure) add_chords(e, sagitta, path);
        clipper.AddPath(path, clip::ptSubject, true);
    }
    clip::PolyTree tree;
    clipper.Execute(clip::ctUnion, tree, clip::pftNonZero, clip::pftNonZero);
    return tree;
}

/// The outer curves of a tree, at every depth: what stands inside an island is a region of its own.
void collect(const clip::PolyNode& node, std::vector<const clip::PolyNode*>& outer) {
    for (const clip::PolyNode* child : node.Childs) {
        if (!child->IsHole()) outer.push_back(child);
        collect(*child, outer);
    }
}

std::vector<const clip::PolyNode*> outer_curves(const clip::PolyTree& tree) {
    std::vector<const clip::PolyNode*> outer;
    collect(tree, outer);
    return outer;
}

clip::Paths curves_of(const clip::PolyNode& outer) {
    clip::Paths paths{outer.Contour};
    for (const clip::PolyNode* island : outer.Childs) paths.push_back(island->Contour);
    return paths;
}

double area_of(const clip::Paths& paths) {
    double sum = 0.0;
    for (const clip::Path& p : paths) sum += clip::Area(p);
    return sum;
}

[[noreturn]] void refuse_narrow(double growth_m) {
    throw NoAnswer(std::string("an opening is somewhere narrower than what the process adds to it (")
                       .append(std::to_string(std::lround(2e9 * growth_m)))
                       .append(" nm over both edges), so no drawing gives it; make it wider or the growth smaller"));
}

/// A region moved inwards by the growth; the rounding of its inner corners is finer than the grid.
clip::Paths moved_back(const clip::Paths& region, const WantedOpenings& w) {
    if (w.growth_m == 0.0) return region;
    clip::ClipperOffset offset(2.0, 0.25 * w.grid * fine);
    offset.AddPaths(region, clip::jtRound, clip::etClosedPolygon);
    clip::PolyTree tree;
    offset.Execute(tree, -w.growth_m / drawn_unit_m * fine);
    const auto outer = outer_curves(tree);
    if (outer.size() != 1 && w.growth_m > 0.0) refuse_narrow(w.growth_m);
    clip::Paths paths;
    for (const clip::PolyNode* node : outer)
        for (const clip::Path& p : curves_of(*node)) paths.push_back(p);
    return paths;
}

clip::Path on_grid(const clip::Path& path, int grid) {
    clip::Path snapped;
    for (const clip::IntPoint& p : path)
        snapped.push_back({std::llround(static_cast<double>(p.X) / (fine * grid)),
                           std::llround(static_cast<double>(p.Y) / (fine * grid))});
    return snapped;
}

std::vector<DrawnPoint> drawn(const clip::Path& path, int grid) {
    std::vector<DrawnPoint> corners;
    for (const clip::IntPoint& p : path)
        corners.push_back({static_cast<int>(p.X) * grid, static_cast<int>(p.Y) * grid});
    return corners;
}

clip::Path steps(const std::vector<DrawnPoint>& corners, int grid) {
    clip::Path path;
    for (const DrawnPoint p : corners) path.push_back({p.x / grid, p.y / grid});
    return path;
}

struct Extent {
    clip::cInt left, right, low, high;
};

Extent extent_of(const clip::Path& path) {
    Extent e{path[0].X, path[0].X, path[0].Y, path[0].Y};
    for (const clip::IntPoint& p : path)
        e = {std::min(e.left, p.X), std::max(e.right, p.X), std::min(e.low, p.Y), std::max(e.high, p.Y)};
    return e;
}

/// The two halves of a region's box: parted through its first island, or across its longer side.
std::array<clip::Path, 2> halves(const clip::Paths& region) {
    const Extent e = extent_of(region.front());
    const Extent inner = region.size() > 1 ? extent_of(region[1]) : e;
    const auto box = [](Extent b) {
        return clip::Path{{b.left, b.low}, {b.right, b.low}, {b.right, b.high}, {b.left, b.high}};
    };
    if (e.right - e.left >= e.high - e.low) {
        const clip::cInt at = (inner.left + inner.right) / 2;
        return {box({e.left, at, e.low, e.high}), box({at, e.right, e.low, e.high})};
    }
    const clip::cInt at = (inner.low + inner.high) / 2;
    return {box({e.left, e.right, e.low, at}), box({e.left, e.right, at, e.high})};
}

void split(const clip::Paths& region, std::size_t most, int depth, std::vector<clip::Path>& into) {
    constexpr int deepest = 60;  // halvings of either side of any box: what is left has no more corners than a cell
    if ((region.size() == 1 && region.front().size() <= most) || depth == deepest) {
        into.push_back(region.front());
        return;
    }
    for (const clip::Path& half : halves(region)) {
        clip::Clipper clipper;
        clipper.AddPaths(region, clip::ptSubject, true);
        clipper.AddPath(half, clip::ptClip, true);
        clip::PolyTree tree;
        clipper.Execute(clip::ctIntersection, tree, clip::pftNonZero, clip::pftNonZero);
        for (const clip::PolyNode* node : outer_curves(tree)) split(curves_of(*node), most, depth + 1, into);
    }
}

std::vector<DrawnRegion> regions_of(const clip::PolyTree& tree, int grid) {
    std::vector<DrawnRegion> out;
    for (const clip::PolyNode* node : outer_curves(tree)) {
        out.push_back({drawn(node->Contour, grid), {}});
        for (const clip::PolyNode* island : node->Childs) out.back().islands.push_back(drawn(island->Contour, grid));
    }
    return out;
}

/// The area of one shape as curves that enclose it once.
clip::Paths area_curves(const FilledShape& shape) {
    clip::Clipper clipper;
    for (const auto& ring : shape.rings) {
        clip::Path path;
        for (const Point& p : ring) path.push_back(fine_point(p));
        clipper.AddPath(path, clip::ptSubject, true);
    }
    const auto rule = shape.even_odd ? clip::pftEvenOdd : clip::pftNonZero;
    clip::Paths paths;
    clipper.Execute(clip::ctUnion, paths, rule, rule);
    return paths;
}

}  // namespace

std::vector<DrawnRegion> draw_openings(const WantedOpenings& w) {
    const double sagitta = std::max(0.5 * w.grid, 2.5) * drawn_unit_m;
    const clip::PolyTree wanted = united(w.openings, sagitta);
    clip::Clipper snapped;
    const auto regions = outer_curves(wanted);
    for (const clip::PolyNode* region : regions)
        for (const clip::Path& path : moved_back(curves_of(*region), w))
            snapped.AddPath(on_grid(path, w.grid), clip::ptSubject, true);
    clip::PolyTree tree;
    snapped.StrictlySimple(true);
    snapped.Execute(clip::ctUnion, tree, clip::pftNonZero, clip::pftNonZero);
    std::vector<DrawnRegion> out = regions_of(tree, w.grid);
    if (out.size() < regions.size())
        throw NoAnswer(w.growth_m < 0.0 ? "drawn openings meet: the process shrinks them by more than the film between "
                                          "them; leave more film or use a process with less bias"
                                        : "the address grid is too coarse for the openings: some vanish or meet on it; "
                                          "use a finer grid");
    return out;
}

std::vector<DrawnRegion> draw_shapes(const std::vector<FilledShape>& shapes, int grid) {
    clip::Clipper together;
    for (const FilledShape& shape : shapes)
        for (const clip::Path& path : area_curves(shape)) together.AddPath(on_grid(path, grid), clip::ptSubject, true);
    clip::PolyTree tree;
    together.StrictlySimple(true);
    together.Execute(clip::ctUnion, tree, clip::pftNonZero, clip::pftNonZero);
    return regions_of(tree, grid);
}

std::vector<DrawnFigure> pieces(const DrawnRegion& region, Layer layer, int most_corners, int grid) {
    clip::Paths paths{steps(region.rim, grid)};
    for (const auto& island : region.islands) paths.push_back(steps(island, grid));
    std::vector<clip::Path> parts;
    split(paths, static_cast<std::size_t>(most_corners), 0, parts);
    std::vector<DrawnFigure> figures;
    for (const clip::Path& part : parts) figures.push_back({layer, drawn(part, grid)});
    return figures;
}

double area_m2(const DrawnRegion& region) {
    clip::Paths paths{steps(region.rim, 1)};
    for (const auto& island : region.islands) paths.push_back(steps(island, 1));
    return area_of(paths) * drawn_unit_m * drawn_unit_m;
}

double united_area_m2(const std::vector<Figure>& openings) {
    const clip::PolyTree tree = united(openings, 1e-9);
    double sum = 0.0;
    for (const clip::PolyNode* region : outer_curves(tree)) sum += area_of(curves_of(*region));
    return sum * (drawn_unit_m / fine) * (drawn_unit_m / fine);
}

}  // namespace tymbal
