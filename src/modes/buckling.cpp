#include "tymbal/modes/buckling.h"

#include "tymbal/base/error.h"
#include "tymbal/grid/eigenpairs.h"

#include "cut_film.h"
#include "grid_ladder.h"

#include <cmath>

namespace tymbal {

namespace {

/// Multiple of the pull at which the stiffness is about to lose its definiteness.
double critical_multiple(const SparseMatrix& bend, const SparseMatrix& pull) {
    const auto stable = [&](double t) { return is_definite(bend + t * pull); };
    double low = 1.0, high = 1.0;
    for (; stable(high); high *= 2.0)
        if (high > 1e12) throw NoAnswer("the film does not buckle at any stress that can be written");
    for (; !stable(low); low *= 0.5)
        if (low < 1e-12) throw NoAnswer("the flat film has no bending stiffness to speak of: it buckles at once");
    while (high - low > 1e-6 * high) {
        const double middle = 0.5 * (low + high);
        (stable(middle) ? low : high) = middle;
    }
    return 0.5 * (low + high);
}

double multiple_on(const ModeProblem& problem, int cells_x, int cells_y) {
    const Grid grid = make_grid(boundary(problem.outline), cells_x, cells_y);
    const FilmMap map = paint(problem.film, grid, FieldBending::plate);
    const TensionField tension = relax(problem.film, grid, map);
    return critical_multiple(bending_matrix(grid, map.rim_bending, map.bending_difference, RimBending::clamped),
                             tension_matrix(grid, sampled(tension, grid)));
}

}  // namespace

CriticalStress critical_stress(const ModeProblem& problem, int cells_x, int cells_y) {
    constexpr double ratio = 1.5;
    const double coarse = multiple_on(problem, cells_x, cells_y);
    const double fine = multiple_on(problem, 3 * cells_x / 2, 3 * cells_y / 2);
    const double step = (fine - coarse) / (ratio * ratio - 1.0);
    return {problem.film.stress * (fine + step), std::abs(problem.film.stress * step), problem.film.stress * coarse};
}

CriticalStress buckling_stress(const ModeProblem& problem) {
    if (problem.film.stress > 0.0) return cut_film_buckling(problem);
    const GridLadder grids = choose_grids(problem);
    return critical_stress(problem, grids.base_x, grids.base_y);
}

}  // namespace tymbal
