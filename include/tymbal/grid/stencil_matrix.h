// Sparse matrices of a grid's operators, gathered in place: each unknown meets only those of the nodes around it.
#pragma once

#include "tymbal/grid/grid.h"

#include <Eigen/SparseCore>

#include <cstddef>
#include <vector>

namespace tymbal {

using SparseMatrix = Eigen::SparseMatrix<double>;

/// A symmetric matrix under assembly. Unknown `components * node + c`, one or two components, couples to nodes at most
/// `reach` grid lines away.
/// Adding to a dense patch per node costs a fraction of sorting triplets, most of which fall on the same few entries.
class StencilMatrix {
public:
    StencilMatrix(const Grid& grid, int reach, int components = 1);

    /// @param row, column  unknowns, their nodes within `reach` of each other; the caller adds both halves
    void add(int row, int column, double value) { values_[slot(row, column)] += value; }

    [[nodiscard]] SparseMatrix matrix() const;
    /// The rows and columns of some unknowns only.
    /// @param kept  new number of each unknown, rising, -1: left out
    [[nodiscard]] SparseMatrix matrix(const std::vector<int>& kept) const;

private:
    [[nodiscard]] std::size_t slot(int row, int column) const {
        const int a = node_of(row), b = node_of(column);
        const Node& from = grid_.nodes[static_cast<std::size_t>(a)];
        const Node& to = grid_.nodes[static_cast<std::size_t>(b)];
        const int place = (to.j - from.j + reach_) * width_ + to.i - from.i + reach_;
        return static_cast<std::size_t>((row * width_ * width_ + place) * components_ + column - b * components_);
    }

    /// The node of an unknown. (A division by what the compiler does not know takes longer than the addition.)
    [[nodiscard]] int node_of(int unknown) const { return components_ == 1 ? unknown : unknown / 2; }

    const Grid& grid_;
    int reach_, components_, width_;
    std::vector<double> values_;
};

}  // namespace tymbal
