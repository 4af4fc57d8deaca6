#include "factor.h"

#include "dissection.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace tymbal::spline {

namespace {

using Matrix = Eigen::MatrixXd;
using Graph = Eigen::SparseMatrix<char, Eigen::RowMajor>;

constexpr int leaf_rows = 96;  // dense blocks at the ends of the dissection
constexpr Eigen::Index panel = 64;

/// Rows of a front: its own columns, then the later rows that they touch, all as positions in the order of elimination.
struct Node {
    int first = 0;           ///< position of its first column
    std::vector<int> later;  ///< rising
    std::array<int, 2> children{-1, -1};
    Matrix lower;  ///< (columns + later) x columns, unit diagonal not stored: D stands there
    [[nodiscard]] Eigen::Index columns() const { return lower.cols(); }
};

Graph graph_of(const SparseMatrix& lower, int unknowns, int fields) {
    std::vector<Eigen::Triplet<char>> pairs;
    for (Eigen::Index c = 0; c < lower.cols(); c += fields)
        for (int f = 0; f < fields; ++f)
            for (SparseMatrix::InnerIterator it(lower, c + f); it; ++it) {
                const int row = static_cast<int>(it.row()) / fields, column = static_cast<int>(c) / fields;
                if (row == column) continue;
                pairs.emplace_back(row, column, 1);
                pairs.emplace_back(column, row, 1);
            }
    Graph graph(unknowns, unknowns);
    graph.setFromTriplets(pairs.begin(), pairs.end(), [](char, char b) { return b; });
    return graph;
}

/// Unknown pivots are never exact zeros by chance; one that is takes the size of rounding instead.
double safe_pivot(double d, double scale) {
    const double least = 1e-14 * scale;
    return std::abs(d) >= least ? d : (d < 0.0 ? -least : least);
}

/// Eliminates columns [first, last) of the front among themselves and divides the rows below.
void eliminate_panel(Matrix& front, Eigen::Index first, Eigen::Index last, double scale) {
    for (Eigen::Index j = first; j < last; ++j) {
        const double d = front(j, j) = safe_pivot(front(j, j), scale);
        auto below = front.col(j).segment(j + 1, last - j - 1);
        for (Eigen::Index k = j + 1; k < last; ++k)
            front.col(k).segment(k, last - k) -= front.col(j).segment(k, last - k) * (front(k, j) / d);
        below /= d;
    }
    const Eigen::Index rows = front.rows() - last, width = last - first;
    if (rows == 0) return;
    auto square = front.block(first, first, width, width);
    auto rest = front.block(last, first, rows, width);
    square.triangularView<Eigen::UnitLower>().transpose().solveInPlace<Eigen::OnTheRight>(rest);
    rest.array().rowwise() /= square.diagonal().transpose().array();
}

/// L D L' of the first `columns` columns; the rest of the front becomes the Schur complement (lower triangle).
void eliminate(Matrix& front, Eigen::Index columns) {
    const double scale = columns > 0 ? front.diagonal().head(columns).cwiseAbs().maxCoeff() : 0.0;
    const Eigen::Index size = front.rows();
    Matrix scaled;
    for (Eigen::Index first = 0; first < columns; first += panel) {
        const Eigen::Index last = std::min(columns, first + panel), width = last - first;
        eliminate_panel(front, first, last, scale);
        const auto pivots = front.diagonal().segment(first, width);
        scaled = front.block(last, first, size - last, width) * pivots.asDiagonal();
        constexpr Eigen::Index stripe = 128;
        for (Eigen::Index c = last; c < size; c += stripe) {
            const Eigen::Index n = std::min(stripe, size - c);
            front.block(c, c, size - c, n).noalias() -=
                scaled.bottomRows(size - c) * front.block(c, first, n, width).transpose();
        }
    }
}

}  // namespace

struct Factor::Tree {
    std::vector<Node> nodes;
    std::vector<int> position;  ///< of each row in the order of elimination
    SparseMatrix matrix;        ///< kept for one step of refinement
    int negative = 0;
    std::size_t bytes = 0;

    Tree(const SparseMatrix& lower, const Space& space, int fields) : matrix(lower) {
        const std::vector<EliminationGroup> blocks =
            dissect(space.place, graph_of(lower, space.size, fields), std::max(8, leaf_rows / fields));
        number(blocks, lower.rows(), fields);
        std::vector<int> row_at(position.size());
        for (std::size_t k = 0; k < position.size(); ++k)
            row_at[static_cast<std::size_t>(position[k])] = static_cast<int>(k);
        const SparseMatrix ordered = in_order(lower);
        std::vector<Matrix> updates(nodes.size());
        std::vector<int> local(position.size(), -1);
        for (std::size_t k = 0; k < nodes.size(); ++k) build(k, ordered, updates, local);
    }

    /// Applies the inverse of the factors.
    [[nodiscard]] Matrix apply(const Matrix& b) const {
        Matrix x(b.rows(), b.cols());
        for (Eigen::Index k = 0; k < b.rows(); ++k) x.row(position[static_cast<std::size_t>(k)]) = b.row(k);
        for (const Node& node : nodes) forward(node, x);
        for (auto node = nodes.rbegin(); node != nodes.rend(); ++node) backward(*node, x);
        Matrix out(b.rows(), b.cols());
        for (Eigen::Index k = 0; k < b.rows(); ++k) out.row(k) = x.row(position[static_cast<std::size_t>(k)]);
        return out;
    }

private:
    void number(const std::vector<EliminationGroup>& blocks, Eigen::Index rows, int fields) {
        position.assign(static_cast<std::size_t>(rows), 0);
        nodes.resize(blocks.size());
        int next = 0;
        for (std::size_t k = 0; k < blocks.size(); ++k) {
            nodes[k].first = next;
            nodes[k].children = blocks[k].children;
            for (const int unknown : blocks[k].unknowns)
                for (int f = 0; f < fields; ++f) position[static_cast<std::size_t>(fields * unknown + f)] = next++;
            nodes[k].lower.resize(0, next - nodes[k].first);
        }
    }
    [[nodiscard]] SparseMatrix in_order(const SparseMatrix& lower) const {
        SparseMatrix out(lower.rows(), lower.cols());
        std::vector<Eigen::Triplet<double>> entries;
        entries.reserve(static_cast<std::size_t>(lower.nonZeros()));
        for (Eigen::Index c = 0; c < lower.cols(); ++c)
            for (SparseMatrix::InnerIterator it(lower, c); it; ++it) {
                const int a = position[static_cast<std::size_t>(it.row())], b = position[static_cast<std::size_t>(c)];
                entries.emplace_back(std::max(a, b), std::min(a, b), it.value());
            }
        out.setFromTriplets(entries.begin(), entries.end());
        return out;
    }
    void build(std::size_t k, const SparseMatrix& ordered, std::vector<Matrix>& updates, std::vector<int>& local) {
        Node& node = nodes[k];
        const int columns = static_cast<int>(node.columns()), end = node.first + columns;
        for (int c = node.first; c < end; ++c)
            for (SparseMatrix::InnerIterator it(ordered, c); it; ++it)
                if (it.row() >= end) node.later.push_back(static_cast<int>(it.row()));
        for (const int child : node.children)
            if (child >= 0)
                for (const int row : nodes[static_cast<std::size_t>(child)].later)
                    if (row >= end) node.later.push_back(row);
        std::sort(node.later.begin(), node.later.end());
        node.later.erase(std::unique(node.later.begin(), node.later.end()), node.later.end());
        for (std::size_t r = 0; r < node.later.size(); ++r)
            local[static_cast<std::size_t>(node.later[r])] = columns + static_cast<int>(r);
        const auto place = [&](int row) { return row < end ? row - node.first : local[static_cast<std::size_t>(row)]; };
        const Eigen::Index size = columns + static_cast<Eigen::Index>(node.later.size());
        Matrix front = Matrix::Zero(size, size);
        for (int c = node.first; c < end; ++c)
            for (SparseMatrix::InnerIterator it(ordered, c); it; ++it)
                front(place(static_cast<int>(it.row())), c - node.first) += it.value();
        for (const int child : node.children)
            if (child >= 0) {
                const std::vector<int>& rows = nodes[static_cast<std::size_t>(child)].later;
                Matrix& update = updates[static_cast<std::size_t>(child)];
                for (std::size_t c = 0; c < rows.size(); ++c) {
                    const int column = place(rows[c]);
                    for (std::size_t r = c; r < rows.size(); ++r)
                        front(place(rows[r]), column) +=
                            update(static_cast<Eigen::Index>(r), static_cast<Eigen::Index>(c));
                }
                update.resize(0, 0);
            }
        eliminate(front, columns);
        negative += static_cast<int>((front.diagonal().head(columns).array() < 0.0).count());
        node.lower = front.leftCols(columns);
        bytes += static_cast<std::size_t>(node.lower.size()) * sizeof(double);
        if (!node.later.empty()) updates[k] = front.bottomRightCorner(size - columns, size - columns);
    }
    static void forward(const Node& node, Matrix& x) {
        const Eigen::Index n = node.columns();
        auto own = x.middleRows(node.first, n);
        node.lower.topRows(n).triangularView<Eigen::UnitLower>().solveInPlace(own);
        if (node.later.empty()) return;
        const Matrix below = node.lower.bottomRows(node.lower.rows() - n) * own;
        for (std::size_t r = 0; r < node.later.size(); ++r)
            x.row(node.later[r]) -= below.row(static_cast<Eigen::Index>(r));
    }
    static void backward(const Node& node, Matrix& x) {
        const Eigen::Index n = node.columns();
        auto own = x.middleRows(node.first, n);
        own.array().colwise() /= node.lower.diagonal().head(n).array();
        if (!node.later.empty()) {
            Matrix above(static_cast<Eigen::Index>(node.later.size()), x.cols());
            for (std::size_t r = 0; r < node.later.size(); ++r)
                above.row(static_cast<Eigen::Index>(r)) = x.row(node.later[r]);
            own.noalias() -= node.lower.bottomRows(node.lower.rows() - n).transpose() * above;
        }
        node.lower.topRows(n).triangularView<Eigen::UnitLower>().transpose().solveInPlace(own);
    }
};

Factor::Factor(const SparseMatrix& lower, const Space& space, int fields)
    : tree_(std::make_unique<const Tree>(lower, space, fields)) {}
Factor::Factor(Factor&&) noexcept = default;
Factor::~Factor() = default;

Eigen::MatrixXd Factor::solve(const Eigen::MatrixXd& b) const {
    Matrix x = tree_->apply(b);
    if (tree_->negative == 0) return x;  // elimination without exchanges is stable
    const Matrix rest = b - tree_->matrix.selfadjointView<Eigen::Lower>() * x;
    x += tree_->apply(rest);
    return x;
}

int Factor::negative() const {
    return tree_->negative;
}

std::size_t Factor::bytes() const {
    return tree_->bytes;
}

}  // namespace tymbal::spline
