#include "effective_film.h"

#include <Eigen/Dense>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <utility>

namespace tymbal {

namespace {

/// Mean of tension components xx and yy over the grid's cells, known or copied from their neighbours.
std::array<double, 2> mean_over(const TensionField& field, const std::vector<double>& weight) {
    std::array<double, 2> sum{};
    double total = 0.0;
    for (std::size_t c = 0; c < weight.size(); ++c) {
        if (!field.known[c]) continue;
        for (std::size_t k = 0; k < 2; ++k) sum[k] += weight[c] * field.tension[c][k];
        total += weight[c];
    }
    return {sum[0] / total, sum[1] / total};
}

/// Mean over the outline where holes are on the grid: what the film's corners carry, nothing where it is open.
std::array<double, 2> mean_of_film(const Level& level, double outline_area) {
    std::array<double, 2> sum{};
    for (std::size_t c = 0; c < level.corners.size(); ++c) {
        const Node& node = level.grid.nodes[c / 4];
        const Arm &x = node.arms[c % 4 / 2], &y = node.arms[2 + c % 2];
        sum[0] += level.corners[c][0] * x.own_length() * 0.5 * level.grid.dy;
        sum[1] += level.corners[c][1] * y.own_length() * 0.5 * level.grid.dx;
    }
    return {sum[0] / outline_area, sum[1] / outline_area};
}

/// Gradients fitted near a free edge scatter by about this much (the disc with a hole in tests/modes).
constexpr double peak_scatter = 0.02;

void add_peak(const Device& device, const Level& fine, const StressMap& map, EffectiveFilm& out) {
    out.stress_peak_von_mises_pa = map.peak_pa;
    out.stress_peak_error_pa = fine.holes_resolved ? peak_scatter * map.peak_pa : map.peak_error_pa;
    out.fracture_margin = device.film.strength.si() / map.peak_pa;
}

Eigen::Matrix3d compliance(const Voigt& stiffness) {
    Eigen::Matrix3d c;
    for (int r = 0; r < 3; ++r)
        for (int k = 0; k < 3; ++k) c(r, k) = stiffness[static_cast<std::size_t>(r)][static_cast<std::size_t>(k)];
    return c.inverse();
}

void add_constants(const PaintedFilm& film, const std::optional<CellFilm>& cell, EffectiveFilm& out) {
    out.youngs_modulus_effective_pa = film.modulus;
    out.poisson_ratio_effective = film.poisson_ratio;
    out.shear_modulus_effective_pa = 0.5 * film.modulus / (1.0 + film.poisson_ratio);
    out.bending_stiffness_n_m = film.bending();
    if (!cell) return;
    const Eigen::Matrix3d s = compliance(cell->stiffness);
    out.youngs_modulus_effective_pa = film.modulus / s(0, 0);
    out.poisson_ratio_effective = -s(0, 1) / s(0, 0);
    out.shear_modulus_effective_pa = film.modulus / s(2, 2);
    out.bending_stiffness_n_m = film.bending() * cell->bending[0][0];
}

}  // namespace

void take_grids_stress(const ModeSet& set, EffectiveFilm& film) {
    if (!set.cut_stress) {
        const double now = set.fine.peak.von_mises;
        film.stress_peak_error_pa = 2.0 * std::abs(now - set.peak_before.von_mises) + peak_scatter * now;
        return;
    }
    // One film, one balance: the level's tension follows the mean that the better grids found.
    const double better = set.cut_stress->mean / film.stress_relaxed_mean_pa;
    film.stress_relaxed_mean_pa = set.cut_stress->mean;
    film.tension_x_n_per_m *= better;
    film.tension_y_n_per_m *= better;
    film.stress_peak_error_pa = set.cut_stress->peak_error;
}

EffectiveFilm effective_film(const Device& device, const FilmOnOutline& laid, const Level& fine,
                             const StressMap& stress) {
    const PaintedFilm& film = laid.film;
    const std::optional<CellFilm>& cell = film.cell ? film.cell : laid.cell;
    const std::vector<double> inside = covered(boundary(device.outline), fine.tension.grid);
    std::vector<double> field = inside;
    if (film.cell)
        for (std::size_t c = 0; c < field.size(); ++c) field[c] = fine.tension_map().field[c];
    EffectiveFilm out;
    out.fill_factor = open_fraction(laid);
    out.hole_count = static_cast<long>(laid.holes.size());
    out.outline_area_m2 = laid.outline_area;
    out.stress_as_deposited_pa = film.stress;
    const bool resolved = fine.holes_resolved;
    const double film_area = laid.outline_area - laid.hole_area;
    const auto whole = resolved ? mean_of_film(fine, laid.outline_area) : mean_over(fine.tension, inside);
    out.stress_relaxed_mean_pa = 0.5 * (whole[0] + whole[1]) / film.thickness * laid.outline_area / film_area;
    add_peak(device, fine, stress, out);
    const auto tension = resolved ? whole : mean_over(fine.tension, field);
    out.tension_x_n_per_m = tension[0];
    out.tension_y_n_per_m = tension[1];
    const double solid = resolved ? film_area / laid.outline_area : 1.0 - out.fill_factor.value_or(0.0);
    out.areal_density_kg_per_m2 = film.density * film.thickness * solid;
    out.mass_kg = suspended_mass(laid);
    const double rim = rim_tension(fine.tension);
    out.edge_layer_m = rim > 0.0 ? std::sqrt(film.bending() / rim) : std::numeric_limits<double>::infinity();
    add_constants(film, cell, out);
    return out;
}

}  // namespace tymbal
