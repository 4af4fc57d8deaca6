#include "tymbal/task/stress_map.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <limits>

namespace tymbal {

namespace {

// Resolved holes: cells with less film stand for open ones. What a cut cell carries is divided by its share of film,
// and with little of it that quotient is mostly error: it would stretch the scale of the map beyond the peak.
constexpr double enough_film = 0.5;

double von_mises(const std::array<double, 3>& s) {
    return std::sqrt(s[0] * s[0] - s[0] * s[1] + s[1] * s[1] + 3.0 * s[2] * s[2]);
}

/// A symmetric tensor (xx, yy, xy) in axes turned by `angle`.
std::array<double, 3> in_turned_axes(const std::array<double, 3>& t, double angle) {
    const double c = std::cos(angle), s = std::sin(angle);
    return {c * c * t[0] + s * s * t[1] + 2.0 * c * s * t[2], s * s * t[0] + c * c * t[1] - 2.0 * c * s * t[2],
            c * s * (t[1] - t[0]) + (c * c - s * s) * t[2]};
}

/// Largest tangential stress round a hole in film under this mean stress.
double edge_peak(const PaintedFilm& film, const std::array<double, 3>& mean) {
    double peak = 0.0;
    const auto turned = in_turned_axes(mean, film.angle_rad);
    for (const Voigt3& row : film.cell->edge_stress)
        peak = std::max(peak, std::abs(row[0] * turned[0] + row[1] * turned[1] + row[2] * turned[2]));
    return peak;
}

void raise(StressMap& map, double stress, std::size_t cell) {
    if (stress <= map.peak_pa) return;
    const auto columns = static_cast<std::size_t>(map.columns);
    const std::size_t column = cell % columns, row = cell / columns;
    map.peak_pa = stress;
    map.peak = {map.x0 + static_cast<double>(column) * map.dx, map.y0 + static_cast<double>(row) * map.dy};
}

/// Stress of the film itself in a cell that may carry a patch: deposited, and what its strain adds.
std::array<double, 3> film_below(const PaintedFilm& film, const Voigt& in_plane, const std::array<double, 3>& pull,
                                 const std::array<double, 3>& tension) {
    Eigen::Matrix3d stiffness;
    Eigen::Vector3d added;
    for (int r = 0; r < 3; ++r) {
        const auto row = static_cast<std::size_t>(r);
        for (int k = 0; k < 3; ++k) stiffness(r, k) = in_plane[row][static_cast<std::size_t>(k)];
        added[r] = tension[row] - pull[row];
    }
    const Eigen::Vector3d strain = stiffness.inverse() * added;
    const double nu = film.poisson_ratio, plane = film.modulus / (1.0 - nu * nu);
    return {film.stress + plane * (strain[0] + nu * strain[1]), film.stress + plane * (strain[1] + nu * strain[0]),
            0.5 * plane * (1.0 - nu) * strain[2]};
}

/// A map of the grid's cells that knows nothing yet.
StressMap blank(const Grid& grid) {
    constexpr double none = std::numeric_limits<double>::quiet_NaN();
    const Point first = grid.cell_centre(0, 0);
    const auto cells = static_cast<std::size_t>(grid.cell_count());
    return {grid.columns - 1,
            grid.rows - 1,
            first.x,
            first.y,
            grid.dx,
            grid.dy,
            std::vector<std::array<double, 3>>(cells, {none, none, none}),
            std::vector<double>(cells, none),
            0.0,
            {}};
}

StressMap resolved_map(const PaintedFilm& film, const Level& level) {
    StressMap map = blank(level.tension.grid);
    map.peak_pa = level.peak.von_mises;
    map.peak = level.peak.at;
    for (std::size_t c = 0; c < map.mean.size(); ++c) {
        if (!level.tension.known[c] || level.map.film[c] < enough_film) continue;
        map.mean[c] = level.tension.tension[c];
        for (double& m : map.mean[c]) m /= film.thickness;
        map.largest[c] = von_mises(map.mean[c]) / level.map.film[c];
    }
    return map;
}

StressMap averaged_map(const PaintedFilm& film, const FilmMap& painted, const TensionField& tension) {
    const std::vector<double>& share = painted.field;
    const double fullest = share.empty() ? 0.0 : *std::max_element(share.begin(), share.end());
    StressMap map = blank(tension.grid);
    for (std::size_t c = 0; c < map.mean.size(); ++c) {
        if (!tension.known[c]) continue;
        std::array<double, 3> mean = tension.tension[c];
        for (double& m : mean) m /= film.thickness;
        if (!painted.pull.empty()) mean = film_below(film, painted.in_plane[c], painted.pull[c], tension.tension[c]);
        const double holed = film.cell ? share[c] : 0.0;
        const double solid = von_mises(mean), edge = holed > 0.0 ? edge_peak(film, mean) : 0.0;
        map.mean[c] = mean;
        map.largest[c] = (1.0 - holed) * solid + holed * edge;
        if (holed == 0.0) raise(map, solid, c);
        // In mixed cells the mean tension is not that of the holes.
        if (film.cell && holed >= std::min(0.999, fullest)) raise(map, edge, c);
    }
    return map;
}

}  // namespace

StressMap stress_map(const Outline& outline, const PaintedFilm& film, const Level& level) {
    constexpr int least_cells = 48;
    if (level.holes_resolved) return resolved_map(film, level);
    const int most = std::max(level.cells_x, level.cells_y);
    if (!film.cell || most >= least_cells) return averaged_map(film, level.tension_map(), level.tension);
    const int factor = (least_cells + most - 1) / most;
    const Grid grid = make_grid(boundary(outline), factor * level.cells_x, factor * level.cells_y);
    const FilmMap map = paint(film, grid, FieldBending::tension_driven);
    return averaged_map(film, map, relax(film, grid, map));
}

}  // namespace tymbal
