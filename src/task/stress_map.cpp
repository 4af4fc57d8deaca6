#include "tymbal/task/stress_map.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace tymbal {

namespace {

// Resolved holes: cells with less film stand for open ones.
constexpr double enough_film = 0.2;

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
    map.peak_pa = stress;
    map.peak = {map.x0 + static_cast<double>(cell % columns) * map.dx,
                map.y0 + static_cast<double>(cell / columns) * map.dy};
}

}  // namespace

StressMap stress_map(const PaintedFilm& film, const Level& level) {
    constexpr double none = std::numeric_limits<double>::quiet_NaN();
    const Grid& grid = level.tension.grid;
    const std::vector<double>& share = level.tension_map.field;
    const std::size_t cells = level.tension.tension.size();
    const double fullest = share.empty() ? 0.0 : *std::max_element(share.begin(), share.end());
    const Point first = grid.cell_centre(0, 0);
    StressMap map{grid.columns - 1, grid.rows - 1, first.x, first.y, grid.dx, grid.dy, {}, {}, 0.0, {}};
    map.mean.assign(cells, {none, none, none});
    map.largest.assign(cells, none);
    if (level.holes_resolved) {
        map.peak_pa = level.peak.von_mises;
        map.peak = level.peak.at;
    }
    for (std::size_t c = 0; c < cells; ++c) {
        if (!level.tension.known[c]) continue;
        std::array<double, 3> mean = level.tension.tension[c];
        for (double& m : mean) m /= film.thickness;
        if (level.holes_resolved) {
            const double there = level.map.film[c];
            if (there < enough_film) continue;
            map.mean[c] = mean;
            map.largest[c] = von_mises(mean) / there;
            continue;
        }
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

}  // namespace tymbal
