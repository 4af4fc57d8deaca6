#include "cut_film_weights.h"

#include "../spline/changed_film.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

/// d ln(omega^2)/d ln(length along x) of a film that is stretched with its openings and relaxes anew.
spline::Vector along_x(const spline::FilmModes& found) {
    constexpr double step = 1e-3;
    const spline::SolvedGrid& g = found.before;
    const auto at = [&](double factor) {
        return found.of_modes(g, spline::squares_after(g, {g.plane.sheet, factor, 1.0}));
    };
    return (at(1.0 + step).array() / at(1.0 - step).array()).log() / std::log((1.0 + step) / (1.0 - step));
}

/// d ln(omega^2)/d ln(inner diameter): a ring with another hole, all else kept, solved again. The step is wide because
/// the rim cuts the cells of each film elsewhere.
std::vector<double> by_inner_rim(const ModeProblem& problem, int first) {
    const Ring& ring = std::get<Ring>(problem.outline);
    const double gap = ring.outer_diameter.si() / ring.inner_diameter.si() - 1.0;
    const double step = 0.03 * std::min(1.0, gap);  // a narrow ring must not close
    const auto with_hole = [&](double factor) {
        ModeProblem changed = problem;
        const Sourced<Length>& inner = ring.inner_diameter;
        changed.outline = Ring{ring.outer_diameter, {factor * inner.value(), inner.deviation(), inner.source()}};
        return cut_film_squares(changed, first);
    };
    std::vector<double> more = with_hole(std::exp(step));
    const std::vector<double> less = with_hole(std::exp(-step));
    for (std::size_t k = 0; k < more.size(); ++k) more[k] = std::log(more[k] / less[k]) / (2.0 * step);
    return more;
}

/// By dimensions: omega^2 is linear in stress and modulus together, and R_b is the share of the modulus.
Sensitivity by_dimensions(const spline::FilmMode& mode, double poisson, double layer) {
    const double bend = mode.bending_share.value;
    Sensitivity s;
    s.stress = 1.0 - bend;
    s.modulus = bend;
    s.poisson_ratio = bend * 2.0 * poisson * poisson / (1.0 - poisson * poisson);
    s.thickness = 2.0 * bend;
    s.density = -1.0;
    s.scale = -2.0 - 2.0 * bend;
    // Hadamard's formula: the layer's energy is that of a rim one layer further out.
    if (layer > 0.0) s.rim = -2.0 * bend * mode.rim_share / layer;
    return s;
}

}  // namespace

spline::Sheet sheet_of(const PaintedFilm& film) {
    return {film.modulus * film.thickness, film.poisson_ratio, film.bending(), film.density * film.thickness,
            film.stress * film.thickness};
}

std::vector<Sensitivity> cut_film_sensitivities(const spline::FilmModes& found, const ModeProblem& problem) {
    const double tension = found.mean_tension.value;
    const double layer = tension > 0.0 ? std::sqrt(problem.film.bending() / tension) : 0.0;
    std::vector<Sensitivity> all;
    for (const spline::FilmMode& m : found.modes) all.push_back(by_dimensions(m, problem.film.poisson_ratio, layer));
    if (std::holds_alternative<Rectangle>(problem.outline) || std::holds_alternative<Strip>(problem.outline)) {
        const spline::Vector along = along_x(found);
        for (std::size_t k = 0; k < all.size(); ++k) {
            all[k].width = along[static_cast<Eigen::Index>(k)];
            all[k].height = all[k].scale - all[k].width;
        }
    }
    if (std::holds_alternative<Ring>(problem.outline)) {
        const std::vector<double> inner = by_inner_rim(problem, found.first + 1);
        for (std::size_t k = 0; k < all.size(); ++k) all[k].inner = inner[k];
    }
    return all;
}

std::vector<double> rayleigh_quotients(const ModeSet& set, const PaintedFilm& film) {
    if (!set.cut_film) return rayleigh_quotients(set.coarse, film, static_cast<int>(set.modes.size()));
    const spline::SolvedGrid& g = set.cut_film->before;
    const spline::Vector squares = set.cut_film->of_modes(g, spline::squares_after(g, {sheet_of(film)}));
    return {squares.begin(), squares.end()};
}

}  // namespace tymbal
