// Sums of local matrices, and what several forms share: gradients at a point, edges with their normals, the ghost term.
#pragma once

#include "rim_spring.h"
#include "space.h"

#include <Eigen/SparseCore>

#include <vector>

namespace tymbal::spline {

using Vector = Eigen::VectorXd;
using SparseMatrix = Eigen::SparseMatrix<double>;  ///< symmetric ones hold their lower triangle

/// Collects local matrices of parts into the lower triangle of a global one.
class Sum {
public:
    /// @param fields  unknowns per coefficient: 1, or 2 for a displacement in the plane
    Sum(const Space& space, int fields = 1) : space_(space), fields_(fields) {}
    /// Adds the block of a part between two fields (row, column); with row != column its transpose is added as well.
    void add(std::size_t part, const LocalMatrix& local, int row = 0, int column = 0);
    void add_pair(int i, int j, double value) { entries_.emplace_back(std::max(i, j), std::min(i, j), value); }
    [[nodiscard]] SparseMatrix matrix();

private:
    const Space& space_;
    int fields_;
    std::vector<Eigen::Triplet<double>> entries_;
};

/// A quadrature point on a held rim.
struct RimPoint {
    std::size_t part = 0;
    Point at;              ///< within the cell
    Point normal;          ///< unit, out of the film
    double weight = 0.0;   ///< m
    double spacing = 0.0;  ///< across the rim, m
    bool on_line = false;  ///< the rim is a grid line, w = 0 strongly
    bool at_cusp = false;  ///< too near a cusp for a straight rim's spring
};

[[nodiscard]] std::vector<RimPoint> rim_points(const Cells& cells);

/// Calls visit(first, last) for each run of points that lie in one part.
template <class Visit>
void for_each_part(const std::vector<RimPoint>& points, Visit visit) {
    for (std::size_t first = 0, last = 0; first < points.size(); first = last) {
        while (last < points.size() && points[last].part == points[first].part) ++last;
        visit(first, last);
    }
}

/// Values and gradient (per metre) of the splines of a cell at a point.
struct LocalBasis {
    Local w, x, y;
};
[[nodiscard]] LocalBasis local_basis(const Frame& frame, Point at);

/// Ghost term: on faces between parts of which one is cut, the squared jump of the second normal derivative, so that a
/// cell of which next to nothing is film does not leave its unknowns free. It is of the order of the discretisation
/// error.
/// @param strength  of faces whose parts are cut by free edges; those at a held rim have ghost_held
/// Source of the idea: Burman, C. R. Math. 348, 1217 (2010) (from memory).
void add_ghost(const Cells& cells, const Space& space, double scale, double strength, int fields, Sum& sum);

constexpr double ghost_free = 1e-4;

}  // namespace tymbal::spline
