#include "tymbal/measurement/heating.h"

#include "tymbal/grid/eigenpairs.h"
#include "tymbal/grid/mirrors.h"

#include "../spline/film_modes.h"
#include "../spline/warming.h"

#include <cmath>

namespace tymbal {

namespace {

constexpr double stefan_boltzmann = 5.670374419e-8;  // W/(m^2 K^4), CODATA 2018 (exact since 2019)

double share_between(double from, double to, double centre, double radius) {
    const double scale = std::sqrt(2.0) / radius;
    return 0.5 * (std::erf((to - centre) * scale) - std::erf((from - centre) * scale));
}

/// Part of each cell that is solid.
std::vector<double> solid_share(const PaintedFilm& film, const FilmMap& map) {
    if (!map.film.empty()) return map.film;
    std::vector<double> solid(map.field.size(), 1.0);
    if (film.cell)
        for (std::size_t c = 0; c < solid.size(); ++c) solid[c] -= map.field[c] * film.cell->open_fraction;
    return solid;
}

/// kappa h as an isotropic tensor per cell.
CellTensor conduction(const HeatProblem& heat, const PaintedFilm& film, const FilmMap& map) {
    const double solid = heat.conductivity * film.thickness;
    const double field = film.cell ? conduction_share(film.cell->open_fraction) : 1.0;
    CellTensor tensor;
    for (std::size_t c = 0; c < map.field.size(); ++c) {
        const double open = map.film.empty() ? 0.0 : 1.0 - map.film[c];
        const double here = solid * (1.0 - open) * (1.0 - map.field[c] + map.field[c] * field);
        tensor.push_back({here, here, 0.0});
    }
    return tensor;
}

double radiation_per_kelvin(const HeatProblem& heat) {
    return 2.0 * heat.emissivity * 4.0 * stefan_boltzmann * std::pow(heat.temperature_k, 3);
}

/// W/K that each node radiates.
Vector radiators(const HeatProblem& heat, const PaintedFilm& film, const Grid& grid, const FilmMap& map) {
    return radiation_per_kelvin(heat) * mass_vector(grid, solid_share(film, map));
}

/// Mean over the outline; what is open carries none.
double mean_of_field(const TensionField& field, const FilmMap& map, double thickness) {
    double sum = 0.0;
    double count = 0.0;
    for (std::size_t c = 0; c < field.tension.size(); ++c) {
        const bool open = !map.film.empty() && map.film[c] == 0.0;
        if (!field.known[c] && !open) continue;
        if (!open) sum += 0.5 * (field.tension[c][0] + field.tension[c][1]);
        count += 1.0;
    }
    return sum / count / thickness;
}

Heating heating_of(const spline::FilmModes& found, const PaintedFilm& film, const HeatProblem& heat,
                   double outline_area) {
    const double radiation = radiation_per_kelvin(heat);
    const spline::Warming per_watt = spline::warming(
        found.grid, {heat.conductivity * film.thickness, radiation, heat.expansion, {heat.spot, heat.spot_radius_m}});
    Heating out;
    out.hottest_k_per_w = per_watt.hottest;
    out.mean_k_per_w = per_watt.sum / outline_area;
    out.radiated_share = radiation * per_watt.sum;
    out.stress_drop_pa_per_w = per_watt.tension_drop / outline_area / film.thickness;
    const spline::Vector shifts = found.of_modes(found.grid, per_watt.shifts);
    const spline::Vector& squares = found.squares.back();
    for (Eigen::Index k = 0; k < squares.size(); ++k)
        out.relative_shift_per_w.push_back(shifts[k] / (2.0 * squares[k]));
    return out;
}

}  // namespace

double conduction_share(double open) {
    return (1.0 - open) / (1.0 + open);
}

Vector spot_shares(const Grid& grid, Point centre, double radius) {
    Vector share(static_cast<Eigen::Index>(grid.nodes.size()));
    for (std::size_t n = 0; n < grid.nodes.size(); ++n) {
        const Point p = grid.place(grid.nodes[n]);
        share[static_cast<Eigen::Index>(n)] =
            share_between(p.x - 0.5 * grid.dx, p.x + 0.5 * grid.dx, centre.x, radius) *
            share_between(p.y - 0.5 * grid.dy, p.y + 0.5 * grid.dy, centre.y, radius);
    }
    return share;
}

Vector temperature_rise(const HeatProblem& heat, const PaintedFilm& film, const Grid& grid, const FilmMap& map) {
    SparseMatrix matrix = tension_matrix(grid, conduction(heat, film, map));
    const Vector radiated = radiators(heat, film, grid, map);
    for (Eigen::Index n = 0; n < matrix.rows(); ++n) matrix.coeffRef(n, n) += radiated[n];
    Vector load = spot_shares(grid, heat.spot, heat.spot_radius_m);
    load /= load.sum();  // one watt absorbed, wherever the rest of the light goes
    const Mirrors images = mirrors(grid);
    return solve_static(matrix, load, {images.in_x, images.in_y});
}

TensionField tension_change(const Grid& grid, const FilmMap& map, double expansion, const Vector& rise) {
    const auto pull = [&](const Quadrant& q) {
        // Mean of the quarter cell round the quadrant: the node and its two arms' ends, the rim at zero.
        const Node& node = grid.nodes[static_cast<std::size_t>(q.node)];
        const auto at = [&](const Arm& arm) { return arm.cut() ? 0.0 : rise[arm.to]; };
        const double t = 0.5 * rise[q.node] + 0.25 * (at(node.arms[q.ax]) + at(node.arms[q.ay]));
        return tension_of(map.in_plane[q.cell], {-expansion * t, -expansion * t, 0.0});
    };
    const InPlane solver(grid, map.in_plane);
    return tension_field(grid, solver, solver.balance(pull), pull);
}

Heating heating(const ModeSet& set, const PaintedFilm& film, const HeatProblem& heat, double outline_area) {
    if (set.cut_film) return heating_of(*set.cut_film, film, heat, outline_area);
    Heating out;
    const Level& fine = set.fine;
    const Vector rise = temperature_rise(heat, film, fine.tension.grid, fine.tension_map());
    out.hottest_k_per_w = rise.maxCoeff();
    out.mean_k_per_w = rise.dot(area_vector(fine.tension.grid)) / outline_area;
    out.radiated_share = rise.dot(radiators(heat, film, fine.tension.grid, fine.tension_map()));

    const Level& coarse = set.coarse;
    const Grid& grid = coarse.tension.grid;
    const TensionField change = tension_change(grid, coarse.tension_map(), heat.expansion,
                                               temperature_rise(heat, film, grid, coarse.tension_map()));
    out.stress_drop_pa_per_w = -mean_of_field(change, coarse.tension_map(), film.thickness);
    const SparseMatrix softer = tension_matrix(coarse.grid, sampled(change, coarse.grid));
    for (Eigen::Index k = 0; k < static_cast<Eigen::Index>(set.modes.size()); ++k) {
        const Vector w = coarse.shapes.col(k);
        out.relative_shift_per_w.push_back(w.dot(softer * w) / (2.0 * coarse.values[k]));
    }
    return out;
}

}  // namespace tymbal
