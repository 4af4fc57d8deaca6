#include "tymbal/film/prestress.h"

#include "tymbal/base/error.h"

#include <Eigen/SparseCholesky>

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

/// A strain component at one quadrant of a node, as a combination of displacement unknowns (2 n: u_x, 2 n + 1: u_y).
struct StrainRow {
    std::array<int, 4> unknown{};
    std::array<double, 4> weight{};
    std::size_t size = 0;
    void add(int index, double w) {
        unknown[size] = index;
        weight[size++] = w;
    }
};

using Strain = std::array<StrainRow, 3>;  // xx, yy, gamma_xy

/// Derivative along an axis by one arm; the rim does not move.
void add_slope(StrainRow& row, int node, const Arm& arm, double sign, int component) {
    row.add(2 * node + component, -sign / arm.length);
    if (!arm.cut()) row.add(2 * arm.to + component, sign / arm.length);
}

Strain strain_at(int number, const Node& node, std::size_t ax, std::size_t ay) {
    const double sx = ax == 0 ? 1.0 : -1.0;
    const double sy = ay == 2 ? 1.0 : -1.0;
    Strain strain;
    add_slope(strain[0], number, node.arms[ax], sx, 0);
    add_slope(strain[1], number, node.arms[ay], sy, 1);
    add_slope(strain[2], number, node.arms[ay], sy, 0);
    add_slope(strain[2], number, node.arms[ax], sx, 1);
    return strain;
}

struct Quadrant {
    Strain strain;
    std::size_t cell = 0;
    std::array<double, 3> area{};  ///< of the xx, yy and mixed parts, m^2
};

Quadrant quadrant(const Grid& grid, int number, std::size_t ax, std::size_t ay) {
    const Node& node = grid.nodes[static_cast<std::size_t>(number)];
    Quadrant q;
    q.strain = strain_at(number, node, ax, ay);
    q.cell = static_cast<std::size_t>(grid.cell(node.i - (ax == 0 ? 0 : 1), node.j - (ay == 2 ? 0 : 1)));
    const double x = node.arms[ax].own_length() * 0.5 * grid.dy;
    const double y = node.arms[ay].own_length() * 0.5 * grid.dx;
    q.area = {x, y, 0.5 * (x + y)};
    return q;
}

template <class Visit>
void for_each_quadrant(const Grid& grid, Visit visit) {
    for (int n = 0; n < static_cast<int>(grid.nodes.size()); ++n)
        for (std::size_t ax = 0; ax < 2; ++ax)
            for (std::size_t ay = 2; ay < 4; ++ay) visit(quadrant(grid, n, ax, ay));
}

/// Deposition strain acts as C : (1, 1, 0) strain_0.
std::array<double, 3> deposited(const Voigt& stiffness, double strain_0) {
    return {strain_0 * (stiffness[0][0] + stiffness[0][1]), strain_0 * (stiffness[1][0] + stiffness[1][1]),
            strain_0 * (stiffness[2][0] + stiffness[2][1])};
}

Vector displacements(const Grid& grid, const FilmMap& map, double strain_0) {
    const auto size = static_cast<Eigen::Index>(2 * grid.nodes.size());
    std::vector<Eigen::Triplet<double>> entries;
    entries.reserve(static_cast<std::size_t>(size) * 40);
    Vector load = Vector::Zero(size);
    for_each_quadrant(grid, [&](const Quadrant& q) {
        const Voigt& c = map.in_plane[q.cell];
        const auto pull = deposited(c, strain_0);
        for (std::size_t r = 0; r < 3; ++r) {
            const StrainRow& a = q.strain[r];
            for (std::size_t p = 0; p < a.size; ++p) load[a.unknown[p]] -= pull[r] * q.area[r] * a.weight[p];
            for (std::size_t s = 0; s < 3; ++s) {
                if (c[r][s] == 0.0) continue;
                const StrainRow& b = q.strain[s];
                const double factor = c[r][s] * (r == s ? q.area[r] : q.area[2]);
                for (std::size_t p = 0; p < a.size; ++p)
                    for (std::size_t t = 0; t < b.size; ++t)
                        entries.emplace_back(a.unknown[p], b.unknown[t], factor * a.weight[p] * b.weight[t]);
            }
        }
    });
    SparseMatrix stiffness(size, size);
    stiffness.setFromTriplets(entries.begin(), entries.end());
    const Eigen::SimplicialLDLT<SparseMatrix> factor(stiffness);
    if (factor.info() != Eigen::Success)
        throw NoAnswer(
            "the in-plane stiffness of the film cannot be factored; the hole field leaves no film to hold it");
    return factor.solve(load);
}

double value(const StrainRow& row, const Vector& u) {
    double sum = 0.0;
    for (std::size_t p = 0; p < row.size; ++p) sum += row.weight[p] * u[row.unknown[p]];
    return sum;
}

/// Gives cells outside the rim the mean of their known neighbours, layer by layer.
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

}  // namespace

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

TensionField relax(const PaintedFilm& film, const Grid& grid, const FilmMap& map) {
    const auto cells = static_cast<std::size_t>(grid.cell_count());
    const double plain = film.stress * film.thickness;
    if (!film.cell) return {grid, CellTensor(cells, {plain, plain, 0.0}), std::vector<bool>(cells, true)};

    const double strain_0 = film.stress * (1.0 - film.poisson_ratio) / film.modulus;
    const Vector u = displacements(grid, map, strain_0);
    TensionField field{grid, CellTensor(cells, {0.0, 0.0, 0.0}), std::vector<bool>(cells, false)};
    std::vector<double> weight(cells, 0.0);
    for_each_quadrant(grid, [&](const Quadrant& q) {
        const Voigt& c = map.in_plane[q.cell];
        const auto pull = deposited(c, strain_0);
        for (std::size_t r = 0; r < 3; ++r) {
            double sum = pull[r];
            for (std::size_t s = 0; s < 3; ++s) sum += c[r][s] * value(q.strain[s], u);
            field.tension[q.cell][r] += q.area[2] * sum;
        }
        weight[q.cell] += q.area[2];
    });
    for (std::size_t c = 0; c < cells; ++c) {
        if (weight[c] <= 0.0) continue;
        for (double& n : field.tension[c]) n /= weight[c];
        field.known[c] = true;
    }
    extend(field);
    return field;
}

CellTensor sampled(const TensionField& field, const Grid& grid) {
    CellTensor tension(static_cast<std::size_t>(grid.cell_count()));
    for (int j = 0; j + 1 < grid.rows; ++j)
        for (int i = 0; i + 1 < grid.columns; ++i)
            tension[static_cast<std::size_t>(grid.cell(i, j))] = field.at(grid.cell_centre(i, j));
    return tension;
}

}  // namespace tymbal
