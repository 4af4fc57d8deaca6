#include "tymbal/film/prestress.h"

#include "../base/in_parallel.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

void extend(TensionField& field) {
    const Grid& grid = field.grid;
    for (int layer = 0; layer < 3; ++layer) {
        const std::vector<bool> before = field.known;
        for (int j = 0; j + 1 < grid.rows; ++j) {
            for (int i = 0; i + 1 < grid.columns; ++i) {
                const auto c = static_cast<std::size_t>(grid.cell(i, j));
                if (before[c]) continue;
                std::array<double, 3> sum{};
                int count = 0;
                for (int b = std::max(0, j - 1); b <= std::min(grid.rows - 2, j + 1); ++b) {
                    for (int a = std::max(0, i - 1); a <= std::min(grid.columns - 2, i + 1); ++a) {
                        const auto near = static_cast<std::size_t>(grid.cell(a, b));
                        if (!before[near]) continue;
                        for (std::size_t k = 0; k < 3; ++k) sum[k] += field.tension[near][k];
                        ++count;
                    }
                }
                if (count == 0) continue;
                for (std::size_t k = 0; k < 3; ++k) field.tension[c][k] = sum[k] / count;
                field.known[c] = true;
            }
        }
    }
}

std::array<double, 3> TensionField::at(Point p) const {
    const double s = std::clamp((p.x - grid.x0) / grid.dx - 0.5, 0.0, grid.columns - 2.0);
    const double t = std::clamp((p.y - grid.y0) / grid.dy - 0.5, 0.0, grid.rows - 2.0);
    const int i = std::min(static_cast<int>(s), grid.columns - 3);
    const int j = std::min(static_cast<int>(t), grid.rows - 3);
    std::array<double, 3> sum{};
    for (int b = 0; b < 2; ++b) {
        for (int a = 0; a < 2; ++a) {
            const double share = (a == 1 ? s - i : 1.0 - s + i) * (b == 1 ? t - j : 1.0 - t + j);
            const auto& corner = tension[static_cast<std::size_t>(grid.cell(i + a, j + b))];
            for (std::size_t k = 0; k < 3; ++k) sum[k] += share * corner[k];
        }
    }
    return sum;
}

namespace {

/// A cell's corner at one of its nodes: that node's step from the cell's lower left, and its arms into the cell.
struct CellCorner {
    int i = 0, j = 0;
    std::size_t ax = 0, ay = 0;
};
constexpr std::array<CellCorner, 4> cell_corners{{{0, 0, 0, 2}, {1, 0, 1, 2}, {0, 1, 0, 3}, {1, 1, 1, 3}}};

/// Mean of a cell's corners by area. @return false without nodes
bool mean_of_corners(const Grid& grid, const CornerTensor& corners, int i, int j, std::array<double, 3>& mean) {
    double weight = 0.0;
    mean = {};
    for (const CellCorner& c : cell_corners) {
        const int n = grid.number[static_cast<std::size_t>(i + c.i + grid.columns * (j + c.j))];
        if (n < 0) continue;
        const auto& arms = grid.nodes[static_cast<std::size_t>(n)].arms;
        const double area = 0.25 * (arms[c.ax].own_length() * grid.dy + arms[c.ay].own_length() * grid.dx);
        const auto& pull = corners[4 * static_cast<std::size_t>(n) + 2 * c.ax + c.ay - 2];
        for (std::size_t r = 0; r < 3; ++r) mean[r] += area * pull[r];
        weight += area;
    }
    for (double& m : mean) m = weight > 0.0 ? m / weight : 0.0;
    return weight > 0.0;
}

}  // namespace

TensionField gathered(const Grid& grid, const CornerTensor& corners, unsigned threads) {
    const auto cells = static_cast<std::size_t>(grid.cell_count());
    TensionField field{grid, CellTensor(cells, {0.0, 0.0, 0.0}), std::vector<bool>(cells, false)};
    std::vector<char> known(cells, 0);  // bytes: bits cannot be written on several threads
    in_parallel(static_cast<std::size_t>(grid.rows - 1), threads, [&](std::size_t row) {
        const int j = static_cast<int>(row);
        for (int i = 0; i + 1 < grid.columns; ++i) {
            const auto c = static_cast<std::size_t>(grid.cell(i, j));
            known[c] = mean_of_corners(grid, corners, i, j, field.tension[c]) ? 1 : 0;
        }
    });
    std::copy(known.begin(), known.end(), field.known.begin());
    extend(field);
    return field;
}

TensionField tension_field(const Grid& grid, const InPlane& solver, const Vector& u,
                           const std::function<std::array<double, 3>(const Quadrant&)>& pull) {
    CornerTensor corners;
    corners.reserve(4 * grid.nodes.size());
    for_each_quadrant(grid, [&](const Quadrant& q) {
        const auto given = pull(q), added = solver.tension(q, u);
        corners.push_back({given[0] + added[0], given[1] + added[1], given[2] + added[2]});
    });
    return gathered(grid, corners);
}

TensionField relax(const PaintedFilm& film, const Grid& grid, const FilmMap& map) {
    const auto cells = static_cast<std::size_t>(grid.cell_count());
    const double plain = film.stress * film.thickness;
    if (!film.cell && film.openings.empty() && film.patches.empty())
        return {grid, CellTensor(cells, {plain, plain, 0.0}), std::vector<bool>(cells, true)};

    const double strain_0 = film.stress * (1.0 - film.poisson_ratio) / film.modulus;
    const auto deposited = [&](const Quadrant& q) {
        return map.pull.empty() ? tension_of(map.in_plane[q.cell], {strain_0, strain_0, 0.0}) : map.pull[q.cell];
    };
    const Mirrors images = mirrors(grid);
    const bool quarter =
        map.pull.empty() && !images.in_x.empty() && !images.in_y.empty() && is_mirrored(grid, map.in_plane);
    const InPlane solver = quarter ? InPlane(grid, map.in_plane, images) : InPlane(grid, map.in_plane);
    return tension_field(grid, solver, solver.balance(deposited), deposited);
}

CellTensor sampled(const TensionField& field, const Grid& grid) {
    CellTensor tension(static_cast<std::size_t>(grid.cell_count()));
    for (int j = 0; j + 1 < grid.rows; ++j)
        for (int i = 0; i + 1 < grid.columns; ++i)
            tension[static_cast<std::size_t>(grid.cell(i, j))] = field.at(grid.cell_centre(i, j));
    return tension;
}

}  // namespace tymbal
