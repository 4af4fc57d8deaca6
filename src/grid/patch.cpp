#include "patch.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <cstdlib>

namespace tymbal {

namespace {

constexpr int reach = 2;  // spacings
constexpr int side = 2 * reach + 1;
constexpr std::size_t cubic_terms = 10, square_terms = 6;
constexpr double least_trust = 1e-4;
constexpr std::size_t spare = 4;  // nodes beyond the terms of the polynomial, lest it follow the noise

std::optional<PatchWeights> fitted(const Patch& patch, Point offset, std::size_t terms) {
    const auto count = static_cast<Eigen::Index>(patch.node.size());
    Eigen::MatrixXd basis(count, static_cast<Eigen::Index>(terms));
    Eigen::VectorXd trust(count);
    for (Eigen::Index r = 0; r < count; ++r) {
        const auto k = static_cast<std::size_t>(r);
        const double x = patch.step[k][0] - offset.x, y = patch.step[k][1] - offset.y;
        const std::array<double, cubic_terms> term{1.0,   x,         y,         0.5 * x * x, 0.5 * y * y,
                                                   x * y, x * x * x, x * x * y, x * y * y,   y * y * y};
        trust[r] = (patch.film[k] + least_trust) * std::exp(-0.25 * (x * x + y * y));
        for (std::size_t t = 0; t < terms; ++t) basis(r, static_cast<Eigen::Index>(t)) = trust[r] * term[t];
    }
    const Eigen::ColPivHouseholderQR<Eigen::MatrixXd> qr(basis);
    if (qr.rank() < static_cast<Eigen::Index>(terms)) return std::nullopt;
    const Eigen::MatrixXd inverse = qr.solve(Eigen::MatrixXd(trust.asDiagonal()));
    return PatchWeights(inverse.middleRows(1, 5));
}

}  // namespace

bool Patch::whole() const {
    return node.size() == side * side && std::all_of(film.begin(), film.end(), [](double f) { return f == 1.0; });
}

Patch patch_round(const Grid& grid, const std::vector<double>& film, int centre) {
    Patch patch;
    std::array<bool, side * side> seen{};
    const Node& origin = grid.nodes[static_cast<std::size_t>(centre)];
    const auto at = [&](int i, int j) { return film[static_cast<std::size_t>(grid.cell(i, j))]; };
    const auto visit = [&](int n) {
        const Node& node = grid.nodes[static_cast<std::size_t>(n)];
        const int i = node.i - origin.i, j = node.j - origin.j;
        if (std::abs(i) > reach || std::abs(j) > reach) return;
        bool& mark = seen[static_cast<std::size_t>((i + reach) + side * (j + reach))];
        if (mark) return;
        mark = true;
        patch.node.push_back(n);
        patch.step.push_back({i, j});
        patch.film.push_back(
            0.25 * (at(node.i, node.j) + at(node.i - 1, node.j) + at(node.i - 1, node.j - 1) + at(node.i, node.j - 1)));
    };
    visit(centre);
    for (std::size_t k = 0; k < patch.node.size(); ++k)
        for (const Arm& arm : grid.nodes[static_cast<std::size_t>(patch.node[k])].arms)
            if (!arm.cut()) visit(arm.to);
    return patch;
}

std::optional<PatchWeights> patch_weights(const Patch& patch, Point offset, PatchFit fit) {
    const std::size_t nodes = patch.node.size();
    if (fit == PatchFit::cubic && nodes >= cubic_terms + spare)
        if (auto weights = fitted(patch, offset, cubic_terms)) return weights;
    if (nodes >= square_terms + spare) return fitted(patch, offset, square_terms);
    return std::nullopt;
}

}  // namespace tymbal
