#include "tymbal/measurement/duffing.h"

#include "../spline/film_modes.h"
#include "../spline/stretching.h"

#include <cmath>

namespace tymbal {

namespace {

double slope(const Vector& w, int node, const Arm& arm) {
    return ((arm.cut() ? 0.0 : w[arm.to]) - w[node]) / arm.length;
}

/// Stretching (xx, yy, gamma_xy) by the deflection at a quadrant.
std::array<double, 3> stretching(const Grid& grid, const Quadrant& q, const Vector& w) {
    const Node& node = grid.nodes[static_cast<std::size_t>(q.node)];
    const double wx = slope(w, q.node, node.arms[q.ax]), wy = slope(w, q.node, node.arms[q.ay]);
    const double sign = (q.ax == 0) == (q.ay == 2) ? 1.0 : -1.0;  // slopes count outwards along the arms
    return {0.5 * wx * wx, 0.5 * wy * wy, sign * wx * wy};
}

/// From the last two grids: what is left of their difference is about as large as the difference where corners hold the
/// order down to 1.3 (spline/limit.h).
std::vector<Duffing> duffing_of(const spline::FilmModes& found, const std::vector<Mode>& modes) {
    const spline::Vector fine = found.of_modes(found.grid, spline::cubic_stiffness(found.grid));
    const spline::Vector before = found.of_modes(found.before, spline::cubic_stiffness(found.before));
    constexpr double what_is_left = 1.5;
    std::vector<Duffing> all;
    for (std::size_t k = 0; k < modes.size(); ++k) {
        const auto n = static_cast<Eigen::Index>(k);
        all.push_back({modes[k].integrals.stiffness, fine[n], what_is_left * std::abs(fine[n] / before[n] - 1.0)});
    }
    return all;
}

}  // namespace

double cubic_stiffness(const InPlane& solver, const Grid& grid, const CellStiffness& stiffness, const Vector& w) {
    const auto pull = [&](const Quadrant& q) { return tension_of(stiffness[q.cell], stretching(grid, q, w)); };
    const Vector u = solver.balance(pull);
    double energy = 0.0;
    for_each_quadrant(grid, [&](const Quadrant& q) {
        const auto strain = stretching(grid, q, w), given = pull(q), added = solver.tension(q, u);
        for (std::size_t r = 0; r < 3; ++r) energy += strain[r] * q.area[r] * (given[r] + added[r]);
    });
    return 2.0 * energy;
}

std::vector<Duffing> duffing(const ModeSet& set) {
    if (set.cut_film) return duffing_of(*set.cut_film, set.modes);
    const Level& level = set.coarse;
    const InPlane solver(level.grid, level.map.in_plane);
    std::vector<Duffing> all;
    for (std::size_t k = 0; k < set.modes.size(); ++k) {
        const Mode& mode = set.modes[k];
        const auto column = static_cast<Eigen::Index>(k);
        // Scaled by the mode's mass, which is the limit of the grids: the antinode then stands at one.
        const Vector w = level.shapes.col(column) * std::sqrt(mode.integrals.mass);
        const double stiffer = mode.integrals.stiffness / mode.integrals.mass / level.values[column];
        const double raw = cubic_stiffness(solver, level.grid, level.map.in_plane, w);
        all.push_back({mode.integrals.stiffness, raw * stiffer * stiffer, std::abs(stiffer * stiffer - 1.0)});
    }
    return all;
}

double half_width_amplitude_m(const Duffing& d, double quality) {
    return std::sqrt(4.0 * d.linear / (3.0 * d.cubic * quality));
}

}  // namespace tymbal
