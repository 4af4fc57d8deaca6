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

/// Tension by strain.
struct Stiffness {
    double normal, lateral, shear;  ///< C_xxxx, C_xxyy, C_xyxy, N/m
};
[[nodiscard]] Stiffness stiffness_of(const Sheet& sheet);

/// Has the film free edges, so that its tension is not the deposited one?
[[nodiscard]] bool relaxes(const Cells& cells);

/// Energy of displacements, two fields, the held rim included.
[[nodiscard]] Rows plane_stiffness(const Cells& cells, const Space& space, const Sheet& sheet,
                                   std::shared_ptr<const Pattern> pattern, unsigned threads);

/// Tension that a film has where nothing in its plane has moved, N/m.
class Pull {
public:
    virtual ~Pull() = default;
    [[nodiscard]] virtual PointTension at_points(std::size_t part) const = 0;
    [[nodiscard]] virtual Tension at(std::size_t part, Point at) const = 0;
};

/// The film as it was deposited.
class Deposited : public Pull {
public:
    explicit Deposited(double tension) : tension_(tension) {}
    [[nodiscard]] PointTension at_points(std::size_t) const override {
        PointTension n = PointTension::Zero();
        n.leftCols<2>().setConstant(tension_);
        return n;
    }
    [[nodiscard]] Tension at(std::size_t, Point) const override { return {tension_, tension_, 0.0}; }

private:
    double tension_;
};

/// What a pull puts on the displacements, N.
[[nodiscard]] Vector plane_load(const Cells& cells, const Space& space, const Pull& pull);

/// Mean of (N_xx + N_yy)/2 over the film that is there, N/m.
[[nodiscard]] double mean_tension(const Cells& cells, const Space& space, const Plane& plane);

}  // namespace tymbal::spline
