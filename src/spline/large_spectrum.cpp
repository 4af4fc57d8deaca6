#include "large_spectrum.h"

#include "conjugate.h"
#include "loads.h"
#include "nested_modes.h"
#include "plane_balance.h"

#include "tymbal/base/error.h"

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>

namespace tymbal::spline {

namespace {

constexpr int coarsest_plate = 3'000;      ///< unknowns of the coarsest grid, which is factored
constexpr double static_tolerance = 1e-6;  ///< of the energy's root: grids are 1e-4 apart

double guessed_unknowns(const Region& region, double spacing) {
    return region.area / (spacing * spacing);
}

/// Cells along each axis are a multiple of this, so that grids can be halved down to the coarsest one.
int halvings(double unknowns) {
    int out = 1;
    for (double left = unknowns; left > coarsest_plate; left /= 4.0) out *= 2;
    return out;
}

std::vector<const Rows*> pointers(const std::vector<Rows>& matrices) {
    std::vector<const Rows*> out;
    for (const Rows& m : matrices) out.push_back(&m);
    return out;
}

}  // namespace

bool is_large(const FilmProblem& problem, const Region& region, double spacing) {
    return guessed_unknowns(region, spacing) > largest_factored(problem);
}

Spectrum large_spectrum(const FilmProblem& problem, const Region& region, double spacing, const SolveEffort& effort) {
    const unsigned threads = effort.cores();
    Spectrum s;
    s.cells = cut_cells(region, frame_of(region, spacing, halvings(guessed_unknowns(region, spacing))));
    s.space = make_space(s.cells);
    require_allowed(problem, s.space);
    const auto shared = std::make_shared<const Levels>(
        make_levels(s.cells, s.space, std::make_shared<const Pattern>(pattern_of(s.cells, s.space)), coarsest_plate));
    const Levels& levels = *shared;
    s.plane = relax(s.cells, s.space, problem.sheet, shared, effort);
    PlateRows forms = plate_rows(s.cells, s.space, s.plane, levels[0].pattern, threads);
    s.plate.bending = std::exchange(forms.bending, {}).lower();
    const LevelMatrices matrices = level_matrices(levels, std::move(forms.stiffness), std::move(forms.mass), threads);
    const Multigrid inverse(levels, pointers(matrices.stiffness), threads);
    s.pairs = nested_modes(levels, matrices, inverse, {problem.count, modes_per_grid(problem)}, effort).pairs;
    if (s.pairs.below > 0) return s;
    const auto under = [&](const Vector& load) {
        return conjugate_gradients(matrices.stiffness.front(), inverse, load, static_tolerance, effort).x;
    };
    s.sagged = under(pressure_load(s.cells, s.space));
    if (problem.spot) s.dented = under(spot_load(s.cells, s.space, *problem.spot));
    return s;
}

}  // namespace tymbal::spline
