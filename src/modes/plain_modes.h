// The modes that an outline would have without holes, layer or loads, and how much of each is in a shape: what labels
// are made of.
#pragma once

#include "tymbal/geometry/outline.h"
#include "tymbal/grid/operators.h"

#include <string>
#include <vector>

namespace tymbal {

/// Coefficients of plain modes, normalised in the mass, in each shape.
struct PlainParts {
    std::vector<std::string> labels;
    Eigen::MatrixXd coefficients;  ///< one row for each plain mode, one column for each shape
};

/// Plain modes of rectangles (also of what an etch has set free), discs and rings; none for polygons. Threads change no
/// digit.
[[nodiscard]] PlainParts plain_parts(const Outline& outline, const Grid& grid, const Vector& mass,
                                     const Eigen::MatrixXd& shapes, unsigned threads);

}  // namespace tymbal
