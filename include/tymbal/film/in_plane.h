// In-plane strain on the arms of a cut grid, and the displacement that balances a given pull: what relaxation,
// stretching by a mode and heating share.
#pragma once

#include "tymbal/grid/mirrors.h"
#include "tymbal/grid/operators.h"

#include <array>
#include <cstddef>
#include <memory>
#include <vector>

namespace tymbal {

/// A strain component as a combination of displacement unknowns (2 n: u_x of node n, 2 n + 1: u_y); the rim is fixed.
struct StrainRow {
    std::array<int, 4> unknown{};
    std::array<double, 4> weight{};
    std::size_t size = 0;
    void add(int index, double w) {
        unknown[size] = index;
        weight[size++] = w;
    }
    [[nodiscard]] double value(const Vector& u) const {
        double sum = 0.0;
        for (std::size_t p = 0; p < size; ++p) sum += weight[p] * u[unknown[p]];
        return sum;
    }
};

/// The corner between two arms of a node: strain (xx, yy, gamma_xy) is one value there.
struct Quadrant {
    int node = 0;
    std::size_t ax = 0, ay = 0;  ///< its arms along x and y
    std::size_t cell = 0;
    std::array<StrainRow, 3> strain;
    std::array<double, 3> area{};  ///< of the xx, yy and mixed parts, m^2
};

[[nodiscard]] Quadrant quadrant(const Grid& grid, int node, std::size_t ax, std::size_t ay);

template <class Visit>
void for_each_quadrant(const Grid& grid, Visit visit) {
    for (int n = 0; n < static_cast<int>(grid.nodes.size()); ++n)
        for (std::size_t ax = 0; ax < 2; ++ax)
            for (std::size_t ay = 2; ay < 4; ++ay) visit(quadrant(grid, n, ax, ay));
}

/// A stiffness (3 x 3) on a strain.
[[nodiscard]] std::array<double, 3> tension_of(const std::array<std::array<double, 3>, 3>& stiffness,
                                               const std::array<double, 3>& strain);

/// The quarter of a grid that stands for all of it when film and load are their own image in both mirrors.
struct Quarter {
    std::vector<int> number;   ///< of each displacement unknown in the quarter's matrix, -1: zero by symmetry
    std::vector<double> sign;  ///< of each unknown against the one that stands for it
    int size = 0;              ///< of the matrix
};

/// Is every cell's stiffness its own image in both mirrors, to 1e-9 of the largest?
[[nodiscard]] bool is_mirrored(const Grid& grid, const CellStiffness& stiffness);

/// The film's in-plane stiffness on a grid, factored once for many loads.
class InPlane {
public:
    /// @param stiffness  tension (N/m) per strain, one per cell; both must outlive the object
    /// @throws NoAnswer when the matrix cannot be factored
    InPlane(const Grid& grid, const CellStiffness& stiffness);
    /// For loads that are their own image in both mirrors, on a film that is so too: an eighth of the work.
    InPlane(const Grid& grid, const CellStiffness& stiffness, const Mirrors& mirrors);

    /// Displacement u for which the tension pull + C : strain(u) is balanced everywhere, the rim fixed.
    /// @param pull  callable, Quadrant -> tension (xx, yy, xy) that acts without displacement, N/m
    template <class Pull>
    [[nodiscard]] Vector balance(Pull pull) const {
        Vector load = Vector::Zero(quarter_.size);
        for_each_quadrant(grid_, [&](const Quadrant& q) {
            if (!in_quarter(q)) return;
            const std::array<double, 3> tension = pull(q);
            for (std::size_t r = 0; r < 3; ++r)
                for (std::size_t p = 0; p < q.strain[r].size; ++p) {
                    const auto unknown = static_cast<std::size_t>(q.strain[r].unknown[p]);
                    if (quarter_.number[unknown] < 0) continue;
                    load[quarter_.number[unknown]] -=
                        quarter_.sign[unknown] * tension[r] * q.area[r] * q.strain[r].weight[p];
                }
        });
        return solve(load);
    }

    /// C : strain(u) at a quadrant.
    [[nodiscard]] std::array<double, 3> tension(const Quadrant& q, const Vector& u) const;

private:
    struct Factor;
    [[nodiscard]] Vector solve(const Vector& load) const;
    [[nodiscard]] bool in_quarter(const Quadrant& q) const;
    [[nodiscard]] SparseMatrix matrix() const;
    void factor();

    const Grid& grid_;
    const CellStiffness& stiffness_;
    bool mirrored_ = false;
    Quarter quarter_;  ///< all of the grid when it is not mirrored
    std::shared_ptr<const Factor> factor_;
};

}  // namespace tymbal
