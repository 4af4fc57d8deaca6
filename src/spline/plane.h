// The tension left in a film after it has relaxed in its plane against its held rim.
//
//   minimise 1/2 Int strain : C : strain + Int N_0 (u_x + v_y),  u = v = 0 on the held rim, free edges natural
//
// Where a held rim cuts cells it is held by Nitsche's terms. Source: Nitsche, Abh. Math. Sem. Univ. Hamburg 36, 9
// (1971) (from memory).
#pragma once

#include "assembly.h"
#include "sheet.h"

#include <Eigen/Core>

namespace tymbal::spline {

/// Tension (columns xx, yy, xy) at the Gauss points of a cell, N/m.
using PointTension = Eigen::Matrix<double, point_count, 3>;

/// A relaxed film. Without free edges it keeps its tension and has no displacement.
struct Plane {
    Sheet sheet;
    Vector displacement;  ///< m: 2 n along x, 2 n + 1 along y of unknown n; empty: none

    [[nodiscard]] PointTension at_points(const Cells& cells, const Space& space, std::size_t part) const;
    /// @param at  within the part's cell
    [[nodiscard]] Tension at(const Cells& cells, const Space& space, std::size_t part, Point at) const;
};

/// Stiffness and load of the displacement that relaxes the film.
struct PlaneSystem {
    Rows stiffness;  ///< two fields
    Vector load;     ///< N
};

/// Has the film free edges, so that its tension is not the deposited one?
[[nodiscard]] bool relaxes(const Cells& cells);

[[nodiscard]] PlaneSystem plane_system(const Cells& cells, const Space& space, const Sheet& sheet,
                                       std::shared_ptr<const Pattern> pattern, unsigned threads);

/// By factors. @throws NoAnswer when the film is not held
[[nodiscard]] Plane relax(const Cells& cells, const Space& space, const Sheet& sheet);

/// Mean of (N_xx + N_yy)/2 over the film that is there, N/m.
[[nodiscard]] double mean_tension(const Cells& cells, const Space& space, const Plane& plane);

}  // namespace tymbal::spline
