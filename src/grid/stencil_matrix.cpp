#include "tymbal/grid/stencil_matrix.h"

#include <algorithm>
#include <numeric>

namespace tymbal {

StencilMatrix::StencilMatrix(const Grid& grid, int reach, int components)
    : grid_(grid),
      reach_(reach),
      components_(components),
      width_(2 * reach + 1),
      values_(grid.nodes.size() * static_cast<std::size_t>(components * components * width_ * width_), 0.0) {}

SparseMatrix StencilMatrix::matrix() const {
    std::vector<int> all(grid_.nodes.size() * static_cast<std::size_t>(components_));
    std::iota(all.begin(), all.end(), 0);
    return matrix(all);
}

SparseMatrix StencilMatrix::matrix(const std::vector<int>& kept) const {
    int size = 0;
    for (const int k : kept) size = std::max(size, k + 1);
    SparseMatrix out(size, size);
    out.reserve(static_cast<Eigen::Index>(size) * width_ * width_ * components_);
    for (int row = 0; row < static_cast<int>(kept.size()); ++row) {
        const int mine = kept[static_cast<std::size_t>(row)];
        if (mine < 0) continue;
        out.startVec(mine);  // by symmetry a row is a column; nodes are numbered row by row, as a patch is walked
        const Node& node = grid_.nodes[static_cast<std::size_t>(row / components_)];
        const std::size_t patch =
            static_cast<std::size_t>(row * width_ * width_) * static_cast<std::size_t>(components_);
        for (int place = 0; place < width_ * width_; ++place) {
            const int i = node.i + place % width_ - reach_, j = node.j + place / width_ - reach_;
            if (i < 0 || j < 0 || i >= grid_.columns || j >= grid_.rows) continue;
            const int other = grid_.number[static_cast<std::size_t>(i + grid_.columns * j)];
            if (other < 0) continue;
            for (int c = 0; c < components_; ++c) {
                const double value = values_[patch + static_cast<std::size_t>(place * components_ + c)];
                const int theirs = kept[static_cast<std::size_t>(other * components_ + c)];
                if (value != 0.0 && theirs >= 0) out.insertBack(theirs, mine) = value;
            }
        }
    }
    out.finalize();
    return out;
}

}  // namespace tymbal
