// In-plane strain on the arms of a cut grid, and the displacement that balances a given pull: what relaxation,
// stretching by a mode and heating share.
#pragma once

#include "tymbal/grid/operators.h"

#include <array>
#include <cstddef>
#include <memory>

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

/// The film's in-plane stiffness on a grid, factored once for many loads.
class InPlane {
public:
    /// @param stiffness  tension (N/m) per strain, one per cell; both must outlive the object
    /// @throws NoAnswer when the matrix cannot be factored
    InPlane(const Grid& grid, const CellStiffness& stiffness);

    /// Displacement u for which the tension pull + C : strain(u) is balanced everywhere, the rim fixed.
    /// @param pull  callable, Quadrant -> tension (xx, yy, xy) that acts without displacement, N/m
    template <class Pull>
    [[nodiscard]] Vector balance(Pull pull) const {
        Vector load = Vector::Zero(static_cast<Eigen::Index>(2 * grid_.nodes.size()));
        for_each_quadrant(grid_, [&](const Quadrant& q) {
            const std::array<double, 3> tension = pull(q);
            for (std::size_t r = 0; r < 3; ++r)
                for (std::size_t p = 0; p < q.strain[r].size; ++p)
                    load[q.strain[r].unknown[p]] -= tension[r] * q.area[r] * q.strain[r].weight[p];
        });
        return solve(load);
    }

    /// C : strain(u) at a quadrant.
    [[nodiscard]] std::array<double, 3> tension(const Quadrant& q, const Vector& u) const;

private:
    struct Factor;
    [[nodiscard]] Vector solve(const Vector& load) const;

    const Grid& grid_;
    const CellStiffness& stiffness_;
    std::shared_ptr<const Factor> factor_;
};

}  // namespace tymbal
