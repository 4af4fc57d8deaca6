#include "bending_band.h"

#include "convergence.h"

#include "tymbal/base/constants.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

constexpr double straight = 1.001 * constants::pi;
constexpr int cells_in_doubt = 3;  // round a corner
// Of what is met there. Sums on grids from 24 to 384 cells across an L and a polygon with three such corners, turned by
// 0 to 30 degrees, and four etch fronts held against plate solutions missed by 0.25 of it at most.
constexpr double open_share = 0.5;
// What the layer's first order leaves out, over its share squared: with the rim moved inwards (clamped squares and
// discs), and on the true rim (a clamped disc with a free hole leaves 8.5), tests/modes.
constexpr double moved_rim = 0.5, true_rim = 10.0;
constexpr double cut_rim =
    0.01;  // of the layer: its sum over grid lines where a curved rim cuts them, disc of tests/modes
constexpr double rough_share = 0.05;  // of bending in doubt by corners
constexpr double rough_band = 1.5;    // high over low
constexpr double least_left = 0.1;    // of the value: a band's low end

/// Cells of a grid, clamped to it.
int column_of(const Grid& grid, double x) {
    return std::clamp(static_cast<int>(std::floor((x - grid.x0) / grid.dx)), 0, grid.columns - 2);
}
int row_of(const Grid& grid, double y) {
    return std::clamp(static_cast<int>(std::floor((y - grid.y0) / grid.dy)), 0, grid.rows - 2);
}

/// Calls visit(cell) for the cells within `reach` of a place, until it returns true. @return whether it did
template <class Visit>
bool any_near(const Grid& grid, Point p, int reach, Visit visit) {
    const int i = column_of(grid, p.x), j = row_of(grid, p.y);
    for (int b = std::max(0, j - reach); b <= std::min(grid.rows - 2, j + reach); ++b)
        for (int a = std::max(0, i - reach); a <= std::min(grid.columns - 2, i + reach); ++a)
            if (visit(static_cast<std::size_t>(grid.cell(a, b)))) return true;
    return false;
}

/// How far a part still moves: as far as its limit lies from the finest grid, or where it has none, from grid to grid.
double step(double before, double here, double value) {
    return value == here ? std::abs(here - before) : std::abs(value - here);
}

/// Curvature as it is where the grid stops to matter: its growth from grid to grid, followed down or up to the layer.
double at_layer(const BendingSeen& seen) {
    if (!(seen.layers_in_cell > 0.0) || !(seen.before.interior > 0.0)) return seen.here.interior;
    const double growth = std::log(seen.here.interior / seen.before.interior) / std::log(seen.ratio);
    return seen.here.interior * std::pow(seen.layers_in_cell, std::clamp(growth, 0.0, 1.0));
}

}  // namespace

std::vector<bool> doubtful_touches(const Boundary& rim, const Grid& grid, double shift,
                                   const std::vector<double>& film) {
    const int reach = cells_in_doubt + static_cast<int>(std::ceil(shift / std::min(grid.dx, grid.dy)));
    std::vector<bool> cornered(static_cast<std::size_t>(grid.cell_count()), false);
    bool any = !film.empty();
    for (const RimCorner& corner : corners(rim)) {
        if (corner.angle <= straight) continue;
        any = true;
        any_near(grid, corner.place, reach, [&](std::size_t c) {
            cornered[c] = true;
            return false;
        });
    }
    if (!any) return {};
    std::vector<bool> doubtful;
    const Vector flat = Vector::Ones(static_cast<Eigen::Index>(grid.nodes.size()));
    for (const RimTouch& touch : rim_touches(grid, flat)) {
        const auto here =
            static_cast<std::size_t>(grid.cell(column_of(grid, touch.place.x), row_of(grid, touch.place.y)));
        const auto open = [&](std::size_t c) { return film[c] < 1.0; };
        doubtful.push_back(cornered[here] || (!film.empty() && any_near(grid, touch.place, cells_in_doubt - 1, open)));
    }
    return doubtful;
}

BendingBand bending_band(const BendingParts& value, const BendingSeen& seen) {
    const double sum = value.interior + value.edge;
    const double settled = at_layer(seen);
    const double open = step(seen.before.interior, seen.here.interior, value.interior) +
                        step(seen.before.edge, seen.here.edge, value.edge) + open_share * seen.here.doubtful +
                        cut_rim * value.edge +
                        (seen.layers_in_cell > 0.0 ? true_rim : moved_rim) * value.edge * value.edge;
    BendingBand band;
    band.low = std::max(least_left * sum, std::min(0.0, settled - value.interior) + sum - open);
    band.high = std::max(0.0, settled - value.interior) + sum + open;
    band.rough = seen.here.doubtful > rough_share * sum || band.high > rough_band * band.low;
    return band;
}

void warn_of_bending(ModeSet& set) {
    long rough = 0;
    const Mode* widest = nullptr;
    const auto width = [](const Mode& m) { return m.integrals.bending_high / m.integrals.bending_low; };
    for (const Mode& mode : set.modes) {
        if (!mode.integrals.bending_rough) continue;
        ++rough;
        if (widest == nullptr || width(mode) > width(*widest)) widest = &mode;
    }
    if (rough == 0) return;
    const ModeIntegrals& i = widest->integrals;
    char text[160];
    std::snprintf(text, sizeof text, "%ld of %zu modes is an order of magnitude (mode %d: %.3g to %.3g): ", rough,
                  set.modes.size(), widest->index, i.stiffness / i.bending_high, i.stiffness / i.bending_low);
    set.warnings.push_back(
        {"rough-dilution", "the dilution of " + std::string(text) +
                               "the clamped layer meets corners or free edges, or film bends at free corners, where "
                               "this model does not know how much; use the band of dilution and material loss, "
                               "not its middle"});
}

}  // namespace tymbal
