#include "curvature.h"

#include "../base/in_parallel.h"
#include "../grid/patch.h"

#include <algorithm>
#include <optional>
#include <utility>
#include <vector>

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

/// Second derivatives at the nodes of one row of the grid, in the places of its columns.
using Row = std::vector<Second>;

/// Mean of the cell's corners that know their curvature; empty when none does.
Second cell_mean(const Row& below, const Row& above, std::size_t i) {
    Second mean;
    int known = 0;
    for (const Second* const corner : {&below[i], &below[i + 1], &above[i + 1], &above[i]}) {
        if (corner->cols() == 0) continue;
        if (known++ == 0)
            mean = *corner;
        else
            mean += *corner;
    }
    if (known > 1) mean /= known;
    return mean;
}

/// Walks the grid upwards and keeps two rows of derivatives: those of all nodes would be most of what a solution holds.
class Curvatures {
public:
    Curvatures(const Grid& grid, const BendingInput& input, const Eigen::MatrixXd& shapes)
        : grid_(grid), input_(input), shapes_(shapes) {}

    /// Energies of the cells between rows from and to.
    [[nodiscard]] Vector strip(int from, int to) const {
        Vector energy = Vector::Zero(shapes_.cols());
        Row below, above = row(from);
        for (int j = from; j < to; ++j) {
            below = std::exchange(above, row(j + 1));
            for (int i = 0; i + 1 < grid_.columns; ++i) {
                const double film = input_.film[static_cast<std::size_t>(grid_.cell(i, j))];
                if (film > 0.0) add(film, cell_mean(below, above, static_cast<std::size_t>(i)), energy);
            }
        }
        return energy;
    }

private:
    [[nodiscard]] Row row(int j) const {
        Row out(static_cast<std::size_t>(grid_.columns));
        for (int i = 0; i < grid_.columns; ++i) {
            const int n = grid_.number[static_cast<std::size_t>(i + grid_.columns * j)];
            if (n >= 0) out[static_cast<std::size_t>(i)] = second_derivatives(grid_, input_.film, n, inside_, shapes_);
        }
        return out;
    }

    void add(double film, const Second& mean, Vector& energy) const {
        const double twist = 2.0 * (1.0 - input_.poisson_ratio);
        const double weight = input_.stiffness * film * grid_.dx * grid_.dy;
        for (Eigen::Index k = 0; k < mean.cols(); ++k) {
            const double xx = mean(0, k), yy = mean(1, k), xy = mean(2, k);
            energy[k] += weight * ((xx + yy) * (xx + yy) - twist * (xx * yy - xy * xy));
        }
    }

    const Grid& grid_;
    const BendingInput& input_;
    const Eigen::MatrixXd& shapes_;
    WholePatch inside_;
};

}  // namespace

Vector curvature_energy(const Grid& grid, const BendingInput& input, const Eigen::MatrixXd& shapes, unsigned threads) {
    constexpr int height = 32;  // of a strip; its first row is worked out twice
    const Curvatures curvatures(grid, input, shapes);
    const int cells = grid.rows - 1;
    std::vector<Vector> part(static_cast<std::size_t>((cells + height - 1) / height));
    in_parallel(part.size(), threads, [&](std::size_t s) {
        const int from = static_cast<int>(s) * height;
        part[s] = curvatures.strip(from, std::min(from + height, cells));
    });
    Vector energy = Vector::Zero(shapes.cols());
    for (const Vector& p : part) energy += p;
    return energy;
}

}  // namespace tymbal
