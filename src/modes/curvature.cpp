#include "curvature.h"

#include "../grid/patch.h"

#include <array>
#include <optional>

namespace tymbal {

namespace {

using Second = Eigen::Matrix<double, 3, Eigen::Dynamic>;  ///< rows xx, yy, xy; one column per shape

/// Every whole patch has the same weights once its nodes stand in one order.
class WholePatch {
public:
    WholePatch() {
        Patch patch;
        for (int j = -2; j <= 2; ++j)
            for (int i = -2; i <= 2; ++i) patch.step.push_back({i, j});
        patch.node.resize(patch.step.size());
        patch.film.assign(patch.step.size(), 1.0);
        weights_ = *patch_weights(patch, {}, PatchFit::cubic);
    }
    [[nodiscard]] Second apply(const Patch& patch, const Eigen::MatrixXd& shapes) const {
        Second second = Second::Zero(3, shapes.cols());
        for (std::size_t k = 0; k < patch.node.size(); ++k)
            second +=
                weights_.col((patch.step[k][0] + 2) + 5 * (patch.step[k][1] + 2)).tail(3) * shapes.row(patch.node[k]);
        return second;
    }

private:
    PatchWeights weights_;
};

/// Second derivatives at a node, 1/m^2; empty where too little film is near.
Second second_derivatives(const Grid& grid, const std::vector<double>& film, int centre, const WholePatch& inside,
                          const Eigen::MatrixXd& shapes) {
    const Patch patch = patch_round(grid, film, centre);
    Second second;
    if (patch.whole()) {
        second = inside.apply(patch, shapes);
    } else {
        const std::optional<PatchWeights> own = patch_weights(patch, {}, PatchFit::cubic);
        if (!own) return {};
        second = Second::Zero(3, shapes.cols());
        for (std::size_t k = 0; k < patch.node.size(); ++k)
            second += own->col(static_cast<Eigen::Index>(k)).tail(3) * shapes.row(patch.node[k]);
    }
    second.row(0) /= grid.dx * grid.dx;
    second.row(1) /= grid.dy * grid.dy;
    second.row(2) /= grid.dx * grid.dy;
    return second;
}

std::array<int, 4> corners(const Grid& grid, int i, int j) {
    const auto at = [&](int a, int b) { return grid.number[static_cast<std::size_t>(a + grid.columns * b)]; };
    return {at(i, j), at(i + 1, j), at(i + 1, j + 1), at(i, j + 1)};
}

/// Mean of the corners that know their curvature; empty when none does.
Second cell_mean(const std::vector<Second>& second, const std::array<int, 4>& corner) {
    Second mean;
    int known = 0;
    for (const int n : corner) {
        if (n < 0 || second[static_cast<std::size_t>(n)].cols() == 0) continue;
        if (known++ == 0)
            mean = second[static_cast<std::size_t>(n)];
        else
            mean += second[static_cast<std::size_t>(n)];
    }
    if (known > 1) mean /= known;
    return mean;
}

}  // namespace

Vector curvature_energy(const Grid& grid, const BendingInput& input, const Eigen::MatrixXd& shapes) {
    const WholePatch inside;
    std::vector<Second> second(grid.nodes.size());
    for (std::size_t n = 0; n < grid.nodes.size(); ++n)
        second[n] = second_derivatives(grid, input.film, static_cast<int>(n), inside, shapes);
    Vector energy = Vector::Zero(shapes.cols());
    const double twist = 2.0 * (1.0 - input.poisson_ratio);
    for (int j = 0; j + 1 < grid.rows; ++j) {
        for (int i = 0; i + 1 < grid.columns; ++i) {
            const double film = input.film[static_cast<std::size_t>(grid.cell(i, j))];
            if (film == 0.0) continue;
            const Second mean = cell_mean(second, corners(grid, i, j));
            const double weight = input.stiffness * film * grid.dx * grid.dy;
            for (Eigen::Index k = 0; k < mean.cols(); ++k) {
                const double xx = mean(0, k), yy = mean(1, k), xy = mean(2, k);
                energy[k] += weight * ((xx + yy) * (xx + yy) - twist * (xx * yy - xy * xy));
            }
        }
    }
    return energy;
}

}  // namespace tymbal
