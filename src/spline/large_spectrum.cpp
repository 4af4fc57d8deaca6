#include "large_spectrum.h"

#include "conjugate.h"
#include "nested_modes.h"

#include "tymbal/base/error.h"

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>

namespace tymbal::spline {

namespace {

/// Unknowns of the coarsest grids, which are factored. Displacements in the plane are carried badly by grids that see
/// less than half a cell in a bridge (.7 to .85 a cycle instead of .2 to .5); a larger factor costs little there, for
/// it is used on one vector at a time.
constexpr int coarsest_plate = 3'000, coarsest_plane = 15'000;
constexpr double stress_tolerance = 1e-6, sag_tolerance = 1e-6;  // of the energy's root: grids are 1e-4 apart

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

Plane relax_large(const Cells& cells, const Space& space, const Sheet& sheet, const Levels& levels,
                  const SolveEffort& effort) {
    if (!relaxes(cells)) return {sheet, {}};
    PlaneSystem system = plane_system(cells, space, sheet, levels[0].pattern, effort.cores());
    std::vector<Rows> matrices;
    matrices.push_back(std::move(system.stiffness));
    for (std::size_t k = 1; k < levels.size() && levels[k - 1].space.size > coarsest_plane; ++k)
        matrices.push_back(galerkin(matrices.back(), levels[k], effort.cores()));
    const Multigrid inverse(levels, pointers(matrices), effort.cores());
    if (inverse.negative() > 0) throw NoAnswer("the film cannot be balanced in its plane: part of it is not held");
    Solution found = conjugate_gradients(matrices.front(), inverse, system.load, stress_tolerance, effort);
    if (effort.progress)
        effort.progress({SolveStage::stress, static_cast<std::size_t>(space.size), found.steps, found.residual});
    return {sheet, std::move(found.x)};
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
    const Levels levels =
        make_levels(s.cells, s.space, std::make_shared<const Pattern>(pattern_of(s.cells, s.space)), coarsest_plate);
    s.plane = relax_large(s.cells, s.space, problem.sheet, levels, effort);
    PlateRows forms = plate_rows(s.cells, s.space, s.plane, levels[0].pattern, threads);
    s.plate.bending = std::exchange(forms.bending, {}).lower();
    const LevelMatrices matrices = level_matrices(levels, std::move(forms.stiffness), std::move(forms.mass), threads);
    const Multigrid inverse(levels, pointers(matrices.stiffness), threads);
    s.pairs = nested_modes(levels, matrices, inverse, {problem.count, modes_per_grid(problem)}, effort).pairs;
    if (s.pairs.below == 0)
        s.sagged = conjugate_gradients(matrices.stiffness.front(), inverse, pressure_load(s.cells, s.space),
                                       sag_tolerance, effort)
                       .x;
    return s;
}

}  // namespace tymbal::spline
