#include "tymbal/modes/whereabouts.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

Point antinode(const ShapeRaster& shape) {
    const auto higher = [](double a, double b) { return std::abs(a) < std::abs(b); };
    const auto at = std::max_element(shape.w.begin(), shape.w.end(), higher) - shape.w.begin();
    const auto row = at / shape.columns, column = at % shape.columns;
    return {shape.x0 + shape.dx * static_cast<double>(column), shape.y0 + shape.dy * static_cast<double>(row)};
}

double share_inside(const Level& level, Eigen::Index k, double radius) {
    double inside = 0.0, all = 0.0;
    for (std::size_t n = 0; n < level.grid.nodes.size(); ++n) {
        const auto row = static_cast<Eigen::Index>(n);
        const Point at = level.grid.place(level.grid.nodes[n]);
        const double energy = level.mass[row] * level.shapes(row, k) * level.shapes(row, k);
        all += energy;
        if (std::hypot(at.x, at.y) <= radius) inside += energy;
    }
    return all > 0.0 ? inside / all : 0.0;
}

}  // namespace

Whereabouts whereabouts(const ModeSet& set, std::size_t k, std::optional<double> within) {
    const Mode& mode = set.modes[k];
    const ModeIntegrals& i = mode.integrals;
    const double bending = i.bending_edge + i.bending_interior;
    Whereabouts out;
    out.antinode = antinode(mode.shape);
    out.bending_share = i.stiffness > 0.0 ? bending / i.stiffness : 0.0;
    out.rim_share = bending > 0.0 ? i.bending_edge / bending : 0.0;
    if (within) out.share_within = share_inside(set.fine, static_cast<Eigen::Index>(k), *within);
    return out;
}

}  // namespace tymbal
