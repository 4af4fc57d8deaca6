#include "patch.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <cstdlib>

namespace tymbal {

namespace {

constexpr int cubic_terms = 10, square_terms = 6;
constexpr double least_trust = 1e-4;
constexpr std::size_t spare = 4;  // nodes beyond the terms of the polynomial, lest it follow the noise
// A term that the others explain but for this part of its square is left to the slow and careful fit.
constexpr double least_own = 1e-9;

/// How much a node counts for its distance along one axis, for each step.
std::array<double, Patch::side> nearness(double offset) {
    std::array<double, Patch::side> near{};
    for (int step = -Patch::reach; step <= Patch::reach; ++step)
        near[static_cast<std::size_t>(step + Patch::reach)] = std::exp(-0.25 * (step - offset) * (step - offset));
    return near;
}

/// The polynomial's terms at the patch's nodes, each row weighted with how much its node counts.
template <int terms>
struct Fit {
    static constexpr int most = static_cast<int>(Patch::most);
    using Basis = Eigen::Matrix<double, terms, Eigen::Dynamic, Eigen::ColMajor, terms, most>;
    Basis basis;
    Eigen::Matrix<double, 1, Eigen::Dynamic, Eigen::RowMajor, 1, most> trust;

    Fit(const Patch& patch, Point offset) {
        const auto count = static_cast<Eigen::Index>(patch.size);
        basis.resize(terms, count);
        trust.resize(count);
        const std::array<double, Patch::side> near_x = nearness(offset.x), near_y = nearness(offset.y);
        for (Eigen::Index r = 0; r < count; ++r) {
            const auto k = static_cast<std::size_t>(r);
            const double x = patch.step[k][0] - offset.x, y = patch.step[k][1] - offset.y;
            const std::array<double, cubic_terms> term{1.0,   x,         y,         0.5 * x * x, 0.5 * y * y,
                                                       x * y, x * x * x, x * x * y, x * y * y,   y * y * y};
            trust[r] = (patch.film[k] + least_trust) *
                       near_x[static_cast<std::size_t>(patch.step[k][0] + Patch::reach)] *
                       near_y[static_cast<std::size_t>(patch.step[k][1] + Patch::reach)];
            for (int t = 0; t < terms; ++t) basis(t, r) = trust[r] * term[static_cast<std::size_t>(t)];
        }
    }

    /// By the normal equations: the square of the condition does no harm while every term has a part of its own.
    [[nodiscard]] std::optional<PatchWeights> quick() const {
        using Square = Eigen::Matrix<double, terms, terms>;
        // Such small products take longer by blocks than term by term.
        const Square normal = basis.lazyProduct(basis.transpose());
        const Eigen::LLT<Square> cholesky(normal);
        if (cholesky.info() != Eigen::Success) return std::nullopt;
        for (int t = 0; t < terms; ++t) {
            const double own = cholesky.matrixLLT()(t, t);
            if (!(own * own > least_own * normal(t, t))) return std::nullopt;
        }
        Eigen::Matrix<double, terms, 5> wanted = Eigen::Matrix<double, terms, 5>::Zero();
        for (int d = 0; d < 5; ++d) wanted(d + 1, d) = 1.0;
        cholesky.solveInPlace(wanted);
        return PatchWeights(wanted.transpose().lazyProduct(basis) * trust.asDiagonal());
    }

    /// By orthogonal steps. @return empty where the nodes do not fix the polynomial
    [[nodiscard]] std::optional<PatchWeights> careful() const {
        const Eigen::ColPivHouseholderQR<Eigen::MatrixXd> qr(basis.transpose());
        if (qr.rank() < terms) return std::nullopt;
        const Eigen::MatrixXd inverse = qr.solve(Eigen::MatrixXd(trust.asDiagonal()));
        return PatchWeights(inverse.middleRows(1, 5));
    }
};

template <int terms>
std::optional<PatchWeights> fitted(const Patch& patch, Point offset) {
    const Fit<terms> fit(patch, offset);
    if (auto weights = fit.quick()) return weights;
    return fit.careful();
}

}  // namespace

Patch patch_round(const Grid& grid, const std::vector<double>& film, int centre) {
    Patch patch;
    constexpr int reach = Patch::reach;
    std::array<bool, Patch::most> seen{};
    const Node& origin = grid.nodes[static_cast<std::size_t>(centre)];
    const auto at = [&](int i, int j) { return film[static_cast<std::size_t>(grid.cell(i, j))]; };
    const auto visit = [&](int n) {
        const Node& node = grid.nodes[static_cast<std::size_t>(n)];
        const int i = node.i - origin.i, j = node.j - origin.j;
        if (std::abs(i) > reach || std::abs(j) > reach) return;
        bool& mark = seen[static_cast<std::size_t>((i + reach) + Patch::side * (j + reach))];
        if (mark) return;
        mark = true;
        patch.node[patch.size] = n;
        patch.step[patch.size] = {i, j};
        patch.film[patch.size++] =
            0.25 * (at(node.i, node.j) + at(node.i - 1, node.j) + at(node.i - 1, node.j - 1) + at(node.i, node.j - 1));
    };
    visit(centre);
    for (std::size_t k = 0; k < patch.size; ++k)
        for (const Arm& arm : grid.nodes[static_cast<std::size_t>(patch.node[k])].arms)
            if (!arm.cut()) visit(arm.to);
    return patch;
}

std::optional<PatchWeights> patch_weights(const Patch& patch, Point offset, PatchFit fit) {
    if (fit == PatchFit::cubic && patch.size >= cubic_terms + spare)
        if (auto weights = fitted<cubic_terms>(patch, offset)) return weights;
    if (patch.size >= square_terms + spare) return fitted<square_terms>(patch, offset);
    return std::nullopt;
}

}  // namespace tymbal
