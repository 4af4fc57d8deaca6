#include "unstable.h"

#include "solved_grid.h"

#include "tymbal/base/error.h"

#include <algorithm>
#include <cmath>

namespace tymbal::spline {

namespace {

double share_on(const FilmProblem& problem, const Region& region, double spacing) {
    constexpr int most_steps = 30, most_shapes = 40;
    constexpr double settled = 1e-5;
    FilmProblem film = problem;
    film.near = 0.0;
    double share = 1.0;
    for (int k = 0; k < most_steps; ++k) {
        film.sheet.tension = share * problem.sheet.tension;
        const Spectrum s = factored_spectrum(film, region, spacing);
        if (s.pairs.below == 0) return share;
        film.count = std::min(s.pairs.below, most_shapes);  // so that the softest is among those found next
        Eigen::Index lowest = 0;
        const double value = s.pairs.values.minCoeff(&lowest);
        const auto v = s.pairs.vectors.col(lowest);
        const double bending = v.dot(s.plate.bending.selfadjointView<Eigen::Lower>() * v);
        const double change = bending / (bending - value);
        share *= change;
        if (change > 1.0 - settled && s.pairs.below == 1) return share;
    }
    return share;
}

}  // namespace

Bounded stable_share(const FilmProblem& problem) {
    constexpr double doubt = 2.0;  // times the difference of two grids
    const Start start = start_of(problem);
    const double coarse = share_on(problem, start.region, start.spacing / grid_step);
    const double fine = share_on(problem, start.region, start.spacing / (grid_step * grid_step));
    if (fine >= 1.0) throw NoAnswer("the flat film is stable as it is");
    return {fine, doubt * std::abs(fine - coarse)};
}

}  // namespace tymbal::spline
