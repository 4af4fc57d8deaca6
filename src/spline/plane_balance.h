// Displacements in the plane that balance what pulls at the film.
#pragma once

#include "linear_solver.h"
#include "plane.h"

namespace tymbal::spline {

/// Made ready once for any number of pulls.
class PlaneBalance {
public:
    /// @throws NoAnswer when the film is not held. The references must outlive the object.
    PlaneBalance(const Cells& cells, const Space& space, const Sheet& sheet, const SolveEffort& effort = {});
    /// By multigrid. @param levels  of the film's grid
    PlaneBalance(const Cells& cells, const Space& space, const Sheet& sheet,
                 const std::shared_ptr<const Levels>& levels, const SolveEffort& effort);
    /// What Plane holds. @throws NoAnswer as LinearSolver
    [[nodiscard]] Vector displacement(const Pull& pull) const {
        return solver_.solve(plane_load(cells_, space_, pull));
    }

private:
    void require_held() const;

    const Cells& cells_;
    const Space& space_;
    LinearSolver solver_;
};

/// @throws NoAnswer when the film is not held
[[nodiscard]] Plane relax(const Cells& cells, const Space& space, const Sheet& sheet);

/// By multigrid.
[[nodiscard]] Plane relax(const Cells& cells, const Space& space, const Sheet& sheet,
                          const std::shared_ptr<const Levels>& levels, const SolveEffort& effort);

}  // namespace tymbal::spline
