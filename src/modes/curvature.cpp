#include "curvature.h"

#include "../base/in_parallel.h"
#include "../grid/patch.h"

#include <algorithm>
#include <array>
#include <optional>
#include <utility>
#include <vector>

namespace tymbal {

namespace {

/// Rows of the grid with the values of all shapes at each node side by side, zero without a node: fits go through them
/// node by node.
class Window {
public:
    Window(const Grid& grid, const Eigen::MatrixXd& shapes, int from, int to)
        : grid_(grid), from_(std::max(0, from)), count_(static_cast<std::size_t>(shapes.cols())) {
        const int end = std::min(grid.rows, to);
        values_.resize(count_ * static_cast<std::size_t>(grid.columns) * static_cast<std::size_t>(end - from_));
        const auto [first, last] = nodes_in_rows(grid, from_, end);
        for (std::size_t k = 0; k < count_; ++k)
            for (std::size_t n = first; n < last; ++n)
                values_[place(grid.nodes[n].i, grid.nodes[n].j) + k] =
                    shapes(static_cast<Eigen::Index>(n), static_cast<Eigen::Index>(k));
    }
    [[nodiscard]] std::size_t count() const { return count_; }
    [[nodiscard]] const double* at(int i, int j) const { return values_.data() + place(i, j); }

private:
    [[nodiscard]] std::size_t place(int i, int j) const {
        return count_ * static_cast<std::size_t>(i + grid_.columns * (j - from_));
    }
    const Grid& grid_;
    int from_;
    std::size_t count_;
    std::vector<double> values_;
};

/// Second derivatives of all shapes at the nodes of one row of the grid, in the places of its columns: xx of all, then
/// yy, then xy.
struct Row {
    std::vector<char> known;  ///< false without a node, or where too little film is near
    std::vector<double> second;
    Row(int columns, std::size_t count)
        : known(static_cast<std::size_t>(columns), 0), second(3 * count * static_cast<std::size_t>(columns), 0.0) {}
};

/// Every whole patch has the same weights once its nodes stand in one order.
PatchWeights whole_weights() {
    Patch patch;
    for (int j = -Patch::reach; j <= Patch::reach; ++j)
        for (int i = -Patch::reach; i <= Patch::reach; ++i) patch.step[patch.size++] = {i, j};
    patch.film.fill(1.0);
    return *patch_weights(patch, {}, PatchFit::cubic);
}

/// Walks a strip of the grid upwards and keeps two rows of derivatives: those of all nodes would be most of what a
/// solution holds.
class Curvatures {
public:
    Curvatures(const Grid& grid, const BendingInput& input, const Eigen::MatrixXd& shapes)
        : grid_(grid), input_(input), shapes_(shapes), whole_(whole_weights()) {}

    /// Energies of the cells between rows from and to.
    [[nodiscard]] Vector strip(int from, int to) const {
        const Window window(grid_, shapes_, from - Patch::reach, to + 1 + Patch::reach);
        Vector energy = Vector::Zero(shapes_.cols());
        Row below(grid_.columns, window.count()), above = below;
        find_row(window, from, above);
        for (int j = from; j < to; ++j) {
            std::swap(below, above);
            find_row(window, j + 1, above);
            for (int i = 0; i + 1 < grid_.columns; ++i) {
                const double film = input_.film[static_cast<std::size_t>(grid_.cell(i, j))];
                if (film > 0.0) add(film, below, above, static_cast<std::size_t>(i), energy);
            }
        }
        return energy;
    }

private:
    void find_row(const Window& window, int j, Row& row) const {
        for (int i = 0; i < grid_.columns; ++i) {
            const int n = grid_.number[static_cast<std::size_t>(i + grid_.columns * j)];
            const auto c = static_cast<std::size_t>(i);
            double* const second = row.second.data() + 3 * window.count() * c;
            row.known[c] = n >= 0 && differentiate(window, n, i, j, second) ? 1 : 0;
        }
    }

    /// @return false where too little film is near
    bool differentiate(const Window& window, int n, int i, int j, double* second) const {
        std::fill(second, second + 3 * window.count(), 0.0);
        if (is_whole(i, j)) {
            Eigen::Index k = 0;
            for (int b = -Patch::reach; b <= Patch::reach; ++b)
                for (int a = -Patch::reach; a <= Patch::reach; ++a)
                    add_node(whole_.col(k++).data(), window.at(i + a, j + b), window.count(), second);
            return true;
        }
        const Patch patch = patch_round(grid_, input_.film, n);
        const std::optional<PatchWeights> own = patch_weights(patch, {}, PatchFit::cubic);
        if (!own) return false;
        for (std::size_t k = 0; k < patch.size; ++k)
            add_node(own->col(static_cast<Eigen::Index>(k)).data(),
                     window.at(i + patch.step[k][0], j + patch.step[k][1]), window.count(), second);
        return true;
    }

    /// Nothing but film, and a node everywhere, as far as a patch reaches.
    [[nodiscard]] bool is_whole(int i, int j) const {
        if (i <= Patch::reach || j <= Patch::reach || i + Patch::reach >= grid_.columns - 1 ||
            j + Patch::reach >= grid_.rows - 1)
            return false;
        for (int b = -Patch::reach - 1; b <= Patch::reach; ++b)
            for (int a = -Patch::reach - 1; a <= Patch::reach; ++a)
                if (input_.film[static_cast<std::size_t>(grid_.cell(i + a, j + b))] != 1.0) return false;
        for (int b = -Patch::reach; b <= Patch::reach; ++b)
            for (int a = -Patch::reach; a <= Patch::reach; ++a)
                if (grid_.number[static_cast<std::size_t>(i + a + grid_.columns * (j + b))] < 0) return false;
        return true;
    }

    /// One node's part in the second derivatives: its weights stand in the order of PatchWeights.
    void add_node(const double* weights, const double* values, std::size_t count, double* second) const {
        const double xx = weights[2] / (grid_.dx * grid_.dx), yy = weights[3] / (grid_.dy * grid_.dy),
                     xy = weights[4] / (grid_.dx * grid_.dy);
        for (std::size_t k = 0; k < count; ++k) {
            second[k] += xx * values[k];
            second[count + k] += yy * values[k];
            second[2 * count + k] += xy * values[k];
        }
    }

    /// A cell's energies from the mean of its corners that know their curvature.
    void add(double film, const Row& below, const Row& above, std::size_t i, Vector& energy) const {
        const auto count = static_cast<std::size_t>(energy.size());
        std::array<const double*, 4> corner{};
        std::size_t known = 0;
        for (const auto& [row, c] : {std::pair(&below, i), {&below, i + 1}, {&above, i + 1}, {&above, i}})
            if (row->known[c] != 0) corner[known++] = row->second.data() + 3 * count * c;
        if (known == 0) return;
        const double twist = 2.0 * (1.0 - input_.poisson_ratio);
        const auto corners = static_cast<double>(known);
        const double weight = input_.stiffness * film * grid_.dx * grid_.dy / (corners * corners);
        for (std::size_t k = 0; k < count; ++k) {
            double xx = 0.0, yy = 0.0, xy = 0.0;
            for (std::size_t c = 0; c < known; ++c) {
                xx += corner[c][k];
                yy += corner[c][count + k];
                xy += corner[c][2 * count + k];
            }
            energy[static_cast<Eigen::Index>(k)] += weight * ((xx + yy) * (xx + yy) - twist * (xx * yy - xy * xy));
        }
    }

    const Grid& grid_;
    const BendingInput& input_;
    const Eigen::MatrixXd& shapes_;
    PatchWeights whole_;
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
