#include "tymbal/film/resolved_stress.h"

#include "tymbal/film/lattice_relax.h"
#include "tymbal/film/slack_film.h"

#include "../base/in_parallel.h"
#include "../grid/each_node.h"
#include "../grid/patch.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace tymbal {

namespace {

// Edges are looked at where a cell near by has at least this part of the largest stress of all cells.
constexpr double worth_a_look = 0.6;
// Cells with less film have too uncertain a stress to lead the search.
constexpr double enough_film = 0.2;
constexpr double points_per_spacing = 1.5;  // along an edge

using Stress3 = std::array<double, 3>;

double von_mises(const Stress3& s) {
    return std::sqrt(s[0] * s[0] - s[0] * s[1] + s[1] * s[1] + 3.0 * s[2] * s[2]);
}

/// Stress in the film itself for a displacement gradient, plane stress on top of what the deposition left.
Stress3 stress_of(const PaintedFilm& film, const Stress3& strain) {
    const double nu = film.poisson_ratio, stiff = film.modulus / (1.0 - nu * nu);
    return {film.stress + stiff * (strain[0] + nu * strain[1]), film.stress + stiff * (strain[1] + nu * strain[0]),
            0.5 * film.modulus / (1.0 + nu) * strain[2]};
}

/// Fitted strain (xx, yy, gamma) at a place near a node. @return false where too little film is near
bool strain_at(const Grid& grid, const std::vector<double>& film, int node, Point place, const Vector& u,
               Stress3& strain) {
    const Point here = grid.place(grid.nodes[static_cast<std::size_t>(node)]);
    const Patch patch = patch_round(grid, film, node);
    const auto weights =
        patch_weights(patch, {(place.x - here.x) / grid.dx, (place.y - here.y) / grid.dy}, PatchFit::parabola);
    if (!weights) return false;
    strain = {};
    for (std::size_t k = 0; k < patch.size; ++k) {
        const auto c = static_cast<Eigen::Index>(k);
        const double along_x = (*weights)(0, c) / grid.dx, along_y = (*weights)(1, c) / grid.dy;
        const double ux = u[2 * patch.node[k]], uy = u[2 * patch.node[k] + 1];
        strain[0] += along_x * ux;
        strain[1] += along_y * uy;
        strain[2] += along_y * ux + along_x * uy;
    }
    return true;
}

/// Nearest held node with all of its arms in film or on the film's side; -1: none within two spacings.
int nearest_node(const Grid& grid, Point p) {
    const int ci = static_cast<int>(std::lround((p.x - grid.x0) / grid.dx));
    const int cj = static_cast<int>(std::lround((p.y - grid.y0) / grid.dy));
    int best = -1;
    double nearest = 1e300;
    for (int j = std::max(0, cj - 1); j <= std::min(grid.rows - 1, cj + 1); ++j) {
        for (int i = std::max(0, ci - 1); i <= std::min(grid.columns - 1, ci + 1); ++i) {
            const int n = grid.number[static_cast<std::size_t>(i + grid.columns * j)];
            if (n < 0) continue;
            const double away =
                std::hypot((grid.x0 + i * grid.dx - p.x) / grid.dx, (grid.y0 + j * grid.dy - p.y) / grid.dy);
            if (away < nearest) best = n, nearest = away;
        }
    }
    return best;
}

/// Von Mises stress of the film in each cell, Pa; 0 where there is too little film.
std::vector<double> cell_stress(const PaintedFilm& film, const FilmMap& map, const TensionField& field) {
    std::vector<double> stress(field.tension.size(), 0.0);
    for (std::size_t c = 0; c < stress.size(); ++c) {
        if (!field.known[c] || map.film[c] < enough_film) continue;
        stress[c] = von_mises(field.tension[c]) / (map.film[c] * film.thickness);
    }
    return stress;
}

/// Largest of `stress` in the three by three cells round a place.
double near_by(const Grid& grid, const std::vector<double>& stress, Point p) {
    const int ci = static_cast<int>(std::floor((p.x - grid.x0) / grid.dx));
    const int cj = static_cast<int>(std::floor((p.y - grid.y0) / grid.dy));
    double most = 0.0;
    for (int j = std::max(0, cj - 1); j <= std::min(grid.rows - 2, cj + 1); ++j)
        for (int i = std::max(0, ci - 1); i <= std::min(grid.columns - 2, ci + 1); ++i)
            most = std::max(most, stress[static_cast<std::size_t>(grid.cell(i, j))]);
    return most;
}

/// Displacement that balances the film: factored where the grid is small, by multigrid where it is large.
Vector balanced(const PaintedFilm& film, const Grid& grid, const FilmMap& map, double strain_0,
                const SolveEffort& effort) {
    if (factors_well(grid)) {
        return InPlane(grid, map.in_plane).balance([&](const Quadrant& q) {
            return tension_of(map.in_plane[q.cell], {strain_0, strain_0, 0.0});
        });
    }
    const double nu = film.poisson_ratio, c = film.modulus * film.thickness / (1.0 - nu * nu);
    const StretchedFilm stretched{{{{c, nu * c, 0.0}, {nu * c, c, 0.0}, {0.0, 0.0, 0.5 * (1.0 - nu) * c}}}, strain_0};
    return relaxed_displacement(grid, map.film, stretched, {}, effort);
}

/// The first where both are as large.
StressPeak larger(const StressPeak& a, const StressPeak& b) {
    return b.von_mises > a.von_mises ? b : a;
}

/// Largest stress along one opening's edge where the cells near by have at least `least`.
StressPeak edge_peak(const PaintedFilm& film, const Grid& grid, const FilmMap& map, const Vector& u,
                     const std::vector<double>& cells, double least, const Figure& opening) {
    const double spacing = std::min(grid.dx, grid.dy);
    StressPeak peak;
    for (const Edge& edge : opening) {
        const int points = 1 + static_cast<int>(points_per_spacing * length(edge) / spacing);
        for (int k = 0; k < points; ++k) {
            const Point p = point_on(edge, (k + 0.5) / points);
            if (near_by(grid, cells, p) < least) continue;
            const int node = nearest_node(grid, p);
            Stress3 strain;
            if (node >= 0 && strain_at(grid, map.film, node, p, u, strain))
                peak = larger(peak, {von_mises(stress_of(film, strain)), p});
        }
    }
    return peak;
}

}  // namespace

ResolvedStress relax_resolved(const PaintedFilm& film, const Grid& grid, const FilmMap& map,
                              const SolveEffort& effort) {
    const double strain_0 = film.stress * (1.0 - film.poisson_ratio) / film.modulus;
    Vector u = balanced(film, grid, map, strain_0, effort);
    CornerTensor corners(4 * grid.nodes.size());
    for_each_node(grid, effort.cores(), [&](std::size_t n) {
        for (std::size_t c = 0; c < 4; ++c) {
            const Quadrant q = quadrant(grid, static_cast<int>(n), c / 2, 2 + c % 2);
            corners[4 * n + c] =
                tension_of(map.in_plane[q.cell],
                           {strain_0 + q.strain[0].value(u), strain_0 + q.strain[1].value(u), q.strain[2].value(u)});
        }
    });
    TensionField field = gathered(grid, corners, effort.cores());
    CornerTensor raised;
    raise_slack(film, grid, map, effort.cores(), corners, raised);
    return {std::move(field), std::move(corners), std::move(raised), std::move(u)};
}

StressPeak peak_stress(const PaintedFilm& film, const Grid& grid, const FilmMap& map, const ResolvedStress& stress,
                       unsigned threads) {
    const std::vector<double> cells = cell_stress(film, map, stress.field);
    const double most = *std::max_element(cells.begin(), cells.end());
    StressPeak peak;
    for (int j = 0; j + 1 < grid.rows; ++j)
        for (int i = 0; i + 1 < grid.columns; ++i)
            if (map.film[static_cast<std::size_t>(grid.cell(i, j))] == 1.0)
                peak = larger(peak, {cells[static_cast<std::size_t>(grid.cell(i, j))], grid.cell_centre(i, j)});
    std::vector<StressPeak> of_opening(film.openings.size());
    in_parallel(of_opening.size(), threads, [&](std::size_t f) {
        of_opening[f] = edge_peak(film, grid, map, stress.displacement, cells, worth_a_look * most, film.openings[f]);
    });
    for (const StressPeak& edge : of_opening) peak = larger(peak, edge);
    return peak;
}

}  // namespace tymbal
