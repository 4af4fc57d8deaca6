// A flat film that buckles by the compression that its own release leaves, and the tension at which it would not.
#pragma once

#include "limit.h"
#include "problem.h"

namespace tymbal::spline {

/// Share of the sheet's tension at which its softest shape loses its stiffness, all else kept, from two grids. Newton's
/// method: the lowest eigenvalue is concave in the tension, so that from the unstable side no step goes beyond the
/// root; its slope follows from the bending share. @throws NoAnswer for a film that is stable
[[nodiscard]] Bounded stable_share(const FilmProblem& problem);

}  // namespace tymbal::spline
