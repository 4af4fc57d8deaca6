// Symmetric sparse matrices over the unknowns, both triangles by rows: which unknowns meet, and the numbers there.
//
// All matrices of a film share one pattern, so that columns are stored once. A displacement in the plane has a block of
// two by two numbers where two unknowns meet.
#pragma once

#include "space.h"

#include "tymbal/grid/pages.h"

#include <Eigen/SparseCore>

#include <cstdint>
#include <memory>

namespace tymbal::spline {

using Vector = Eigen::VectorXd;
using SparseMatrix = Eigen::SparseMatrix<double>;  ///< symmetric ones hold their lower triangle

/// Which unknowns meet which. The columns of a row rise.
struct Pattern {
    std::vector<std::int64_t> first;  ///< entry of each row, one more at the end
    PageVector<int> column;

    [[nodiscard]] int rows() const { return static_cast<int>(first.size()) - 1; }
    /// @returns the entry, or -1 where two unknowns do not meet
    [[nodiscard]] std::int64_t entry(int row, int column_wanted) const;
};

/// Unknowns meet within a part, and across the faces that the ghost term joins.
[[nodiscard]] Pattern pattern_of(const Cells& cells, const Space& space);

/// Does the ghost term join the parts on both sides of a face? Where one of them is cut.
[[nodiscard]] bool ghost_joins(const Cells& cells, const std::array<int, 2>& face);

struct Rows {
    std::shared_ptr<const Pattern> pattern;
    int fields = 1;            ///< unknowns per coefficient
    PageVector<double> value;  ///< fields x fields an entry, row-major

    Rows() = default;
    Rows(std::shared_ptr<const Pattern> of, int fields_each);
    [[nodiscard]] int block() const { return fields * fields; }
    /// Row fields * n + f belongs to field f of unknown n.
    [[nodiscard]] SparseMatrix lower() const;
};

}  // namespace tymbal::spline
