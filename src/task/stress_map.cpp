#include "tymbal/task/stress_map.h"

#include "../grid/cells_under.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

namespace tymbal {

namespace {

// Resolved holes: cells with less film stand for open ones. What a cut cell carries is divided by its share of film,
// and with little of it that quotient is mostly error: it would stretch the scale of the map beyond the peak.
constexpr double enough_film = 0.5;

// Grids for a hole field: four cells a pitch where that is affordable.
constexpr double least_cells = 96.0, most_cells = 160.0, cells_per_pitch = 4.0;
constexpr double all_field = 0.999;    // of a cell that is taken to lie in the field altogether
constexpr double enough_field = 0.25;  // of a hole's own cell that must lie in such cells
// The hole with the largest stress stands at the field's border, where its neighbours are not those of an endless
// lattice.
constexpr double border_error = 0.1;

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

void raise(StressMap& map, double stress, Point at) {
    if (stress <= map.peak_pa) return;
    map.peak_pa = stress;
    map.peak = at;
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
            0.0,
            {}};
}

/// The peak is told by finer grids than the map's: the fullest cell round its place shows it.
void show_peak(StressMap& map) {
    const int i = static_cast<int>(std::lround((map.peak.x - map.x0) / map.dx)),
              j = static_cast<int>(std::lround((map.peak.y - map.y0) / map.dy));
    double* fullest = nullptr;
    for (int b = std::max(0, j - 1); b <= std::min(map.rows - 1, j + 1); ++b)
        for (int a = std::max(0, i - 1); a <= std::min(map.columns - 1, i + 1); ++a) {
            double& here = map.largest[static_cast<std::size_t>(a + map.columns * b)];
            if (!std::isnan(here) && (fullest == nullptr || here > *fullest)) fullest = &here;
        }
    if (fullest != nullptr) *fullest = map.peak_pa;
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
    show_peak(map);
    return map;
}

/// Cells across the outline that the field wants.
int cells_for_field(const Outline& outline, const PaintedFilm& film) {
    const Box box = bounding_box(boundary(outline));
    const double across = std::max(box.high.x - box.low.x, box.high.y - box.low.y);
    const double pitch = film.field.empty() ? across : std::sqrt(polygon_area(film.field.front()));
    return static_cast<int>(std::ceil(std::clamp(cells_per_pitch * across / pitch, least_cells, most_cells)));
}

Point centre_of(const Grid& grid, std::size_t cell) {
    const int columns = grid.columns - 1, c = static_cast<int>(cell);
    return grid.cell_centre(c % columns, c / columns);
}

/// Does this cell or one beside it hold part of the hole field?
bool touches_field(const PaintedFilm& film, const FilmMap& painted, const Grid& grid, std::size_t cell) {
    if (!film.cell) return false;
    const int columns = grid.columns - 1, i = static_cast<int>(cell) % columns, j = static_cast<int>(cell) / columns;
    for (int b = std::max(0, j - 1); b <= std::min(grid.rows - 2, j + 1); ++b)
        for (int a = std::max(0, i - 1); a <= std::min(columns - 1, i + 1); ++a)
            if (painted.field[static_cast<std::size_t>(grid.cell(a, b))] > 0.0) return true;
    return false;
}

/// Mean stress of a hole's own lattice cell, from the grid's cells that lie in the field altogether: the mean tension
/// of mixed ones is not that of holes. Empty where little of it does.
std::optional<std::array<double, 3>> mean_under(const std::vector<Point>& own, const FilmMap& painted,
                                                const TensionField& tension, double thickness, double all) {
    std::array<double, 3> sum{};
    double covered = 0.0;
    cells_under(own, tension.grid, [&](std::size_t c, double share) {
        if (!tension.known[c] || painted.field[c] < all) return;
        for (std::size_t k = 0; k < 3; ++k) sum[k] += share * tension.tension[c][k];
        covered += share;
    });
    if (covered * tension.grid.dx * tension.grid.dy < enough_field * polygon_area(own)) return std::nullopt;
    for (double& s : sum) s /= covered * thickness;
    return sum;
}

/// What the edges of the holes carry: their own cells by area, on top of what solid film there does.
void add_holes(const PaintedFilm& film, const FilmMap& painted, const TensionField& tension, StressMap& map) {
    const double fullest = *std::max_element(painted.field.begin(), painted.field.end());
    for (const std::vector<Point>& own : film.field) {
        const auto mean = mean_under(own, painted, tension, film.thickness, std::min(all_field, fullest));
        const double edge = mean ? edge_peak(film, *mean) : 0.0;
        Point centre;
        for (const Point& p : own) {
            centre.x += p.x / static_cast<double>(own.size());
            centre.y += p.y / static_cast<double>(own.size());
        }
        if (mean) raise(map, edge, centre);
        cells_under(own, tension.grid, [&](std::size_t c, double share) {
            map.largest[c] += share * (mean ? edge : edge_peak(film, map.mean[c]));
        });
    }
}

StressMap averaged_map(const PaintedFilm& film, const FilmMap& painted, const TensionField& tension) {
    StressMap map = blank(tension.grid);
    for (std::size_t c = 0; c < map.mean.size(); ++c) {
        if (!tension.known[c]) continue;
        std::array<double, 3> mean = tension.tension[c];
        for (double& m : mean) m /= film.thickness;
        if (!painted.pull.empty()) mean = film_below(film, painted.in_plane[c], painted.pull[c], tension.tension[c]);
        const double holed = film.cell ? painted.field[c] : 0.0, solid = von_mises(mean);
        map.mean[c] = mean;
        map.largest[c] = (1.0 - holed) * solid;
        // Beside a corner of the field solid film has no limit either; the holes there carry more.
        if (holed == 0.0 && !touches_field(film, painted, tension.grid, c))
            raise(map, solid, centre_of(tension.grid, c));
    }
    if (film.cell) add_holes(film, painted, tension, map);
    return map;
}

}  // namespace

StressMap stress_map(const Outline& outline, const PaintedFilm& film, const Level& level) {
    if (level.holes_resolved) return resolved_map(film, level);
    if (!film.cell) return averaged_map(film, level.tension_map(), level.tension);
    const auto on = [&](int cells) {
        const int most = std::max(level.cells_x, level.cells_y), factor = (cells + most - 1) / most;
        if (factor == 1) return averaged_map(film, level.tension_map(), level.tension);
        const Grid grid = make_grid(boundary(outline), factor * level.cells_x, factor * level.cells_y);
        const FilmMap map = paint(film, grid, FieldBending::tension_driven);
        return averaged_map(film, map, relax(film, grid, map));
    };
    const int cells = cells_for_field(outline, film);
    StressMap map = on(cells);
    map.peak_error_pa =
        (film.cell->edge_stress_error + border_error) * map.peak_pa + std::abs(map.peak_pa - on(cells / 2).peak_pa);
    return map;
}

}  // namespace tymbal
