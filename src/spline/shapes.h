// Mode shapes away from the grid's own points.
#pragma once

#include "plane.h"

#include <optional>
#include <vector>

namespace tymbal::spline {

/// A part's coefficients of one shape.
[[nodiscard]] Local coefficients(const PartUnknowns& unknowns, const Eigen::Ref<const Vector>& vector);

/// Shapes at points: a row a point, a column a shape. Beyond a free edge the splines of the nearest part within a few
/// cells go on; further away there is nothing, 0.
[[nodiscard]] Eigen::MatrixXd shapes_at(const Cells& cells, const Space& space, const Eigen::MatrixXd& vectors,
                                        const std::vector<Point>& points);

/// Tension of the film at points; none where no film is near.
[[nodiscard]] std::vector<std::optional<Tension>> tension_at(const Cells& cells, const Space& space, const Plane& plane,
                                                             const std::vector<Point>& points);

}  // namespace tymbal::spline
