#include "tymbal/grid/stencil.h"

#include "../base/in_parallel.h"

#include <algorithm>
#include <array>
#include <functional>
#include <stdexcept>

namespace tymbal {

namespace {

/// The corner between two arms of a node, as tension_matrix sees it. Slopes count outwards along the arms.
struct Corner {
    std::size_t node = 0;
    std::size_t to_x = 0, to_y = 0;  ///< neighbours' places
    bool cut_x = false, cut_y = false;
    double length_x = 0.0, length_y = 0.0;
    double area_x = 0.0, area_y = 0.0;  ///< that the slopes along x and y stand for
    bool right = false, up = false;
};

/// The link between two places; it is held by the one that comes first.
void add_link(Stencil<double>& k, std::size_t a, std::size_t b, double weight) {
    const std::size_t low = std::min(a, b);
    const std::size_t apart = std::max(a, b) - low;
    HalfStar<double>& star = k.star[low];
    if (apart == 1)
        star.east += weight;
    else if (apart == k.stride())
        star.north += weight;
    else if (apart == k.stride() + 1)
        star.north_east += weight;
    else
        star.north_west += weight;
}

/// Adds N_xx (w_x)^2 + N_yy (w_y)^2 + 2 N_xy w_x w_y over the corner.
void add_corner(Stencil<double>& k, const Corner& c, const std::array<double, 3>& pull) {
    const double xx = pull[0] * c.area_x / (c.length_x * c.length_x);
    const double yy = pull[1] * c.area_y / (c.length_y * c.length_y);
    const double sign = c.right == c.up ? 1.0 : -1.0;
    const double xy = sign * pull[2] * 0.5 * (c.area_x + c.area_y) / (c.length_x * c.length_y);
    k.star[c.node].centre += xx + yy + 2.0 * xy;
    if (!c.cut_x) {
        k.star[c.to_x].centre += xx;
        add_link(k, c.node, c.to_x, -xx - xy);
    }
    if (!c.cut_y) {
        k.star[c.to_y].centre += yy;
        add_link(k, c.node, c.to_y, -yy - xy);
    }
    if (!c.cut_x && !c.cut_y && xy != 0.0) add_link(k, c.to_x, c.to_y, xy);
}

Corner corner(const Stencil<double>& k, const Grid& grid, const Node& node, bool right, bool up) {
    const Arm &x = node.arms[right ? 0 : 1], &y = node.arms[up ? 2 : 3];
    Corner c;
    c.node = k.at(node.i - 1, node.j - 1);
    c.to_x = right ? c.node + 1 : c.node - 1;
    c.to_y = up ? c.node + k.stride() : c.node - k.stride();
    c.cut_x = x.cut();
    c.cut_y = y.cut();
    c.length_x = x.length;
    c.length_y = y.length;
    c.area_x = x.own_length() * 0.5 * grid.dy;
    c.area_y = y.own_length() * 0.5 * grid.dx;
    c.right = right;
    c.up = up;
    return c;
}

Corner corner(const Stencil<double>& k, const RectangleCells& cells, int i, int j, bool right, bool up) {
    Corner c;
    c.node = k.at(i, j);
    c.to_x = right ? c.node + 1 : c.node - 1;
    c.to_y = up ? c.node + k.stride() : c.node - k.stride();
    c.cut_x = right ? i + 1 == k.columns : i == 0;
    c.cut_y = up ? j + 1 == k.rows : j == 0;
    c.length_x = cells.dx;
    c.length_y = cells.dy;
    const double quarter = 0.25 * cells.dx * cells.dy;
    c.area_x = c.cut_x ? 2.0 * quarter : quarter;
    c.area_y = c.cut_y ? 2.0 * quarter : quarter;
    c.right = right;
    c.up = up;
    return c;
}

}  // namespace

std::size_t LatticeFilm::unknowns() const {
    return static_cast<std::size_t>(std::count_if(stiffness.star.begin(), stiffness.star.end(),
                                                  [](const HalfStar<double>& s) { return s.centre != 0.0; }));
}

LatticeFilm lattice_film(const Grid& grid, const CellTensor& tension, const std::vector<double>& areal_density) {
    LatticeFilm film{Stencil<double>(grid.columns - 2, grid.rows - 2), {}};
    Stencil<double>& k = film.stiffness;
    film.mass.assign(k.star.size(), 0.0);
    const Vector mass = mass_vector(grid, areal_density);
    for (std::size_t n = 0; n < grid.nodes.size(); ++n) {
        const Node& node = grid.nodes[n];
        if (node.i < 1 || node.j < 1 || node.i > k.columns || node.j > k.rows)
            throw std::logic_error("lattice_film: a node lies on the grid's box");
        film.mass[k.at(node.i - 1, node.j - 1)] = mass[static_cast<Eigen::Index>(n)];
        for (const bool right : {true, false})
            for (const bool up : {true, false}) {
                const int cell = grid.cell(node.i - (right ? 0 : 1), node.j - (up ? 0 : 1));
                add_corner(k, corner(k, grid, node, right, up), tension[static_cast<std::size_t>(cell)]);
            }
    }
    return film;
}

LatticeFilm lattice_film(const RectangleCells& cells, const CellTensor& tension,
                         const std::vector<double>& areal_density, unsigned threads) {
    LatticeFilm film{Stencil<double>(cells.columns - 1, cells.rows - 1), {}};
    Stencil<double>& k = film.stiffness;
    film.mass.assign(k.star.size(), 0.0);
    const auto cell = [&](int i, int j) {
        return static_cast<std::size_t>(i) + static_cast<std::size_t>(cells.columns) * static_cast<std::size_t>(j);
    };
    const auto add_row = [&](int j) {
        for (int i = 0; i < k.columns; ++i) {
            double density = 0.0;
            for (const bool right : {true, false})
                for (const bool up : {true, false}) {
                    const std::size_t at = cell(i + (right ? 1 : 0), j + (up ? 1 : 0));
                    density += areal_density[at];
                    if (tension[at] != std::array<double, 3>{})
                        add_corner(k, corner(k, cells, i, j, right, up), tension[at]);
                }
            film.mass[k.at(i, j)] = 0.25 * density * cells.dx * cells.dy;
        }
    };
    // A row adds to the rows beside it: strips of rows are far enough apart when every other one is done at a time.
    constexpr int strip = 16;
    const int strips = (k.rows + strip - 1) / strip;
    for (const int first : {0, 1})
        in_parallel(static_cast<std::size_t>((strips + 1 - first) / 2), threads, [&](std::size_t s) {
            const int from = (2 * static_cast<int>(s) + first) * strip;
            for (int j = from; j < std::min(from + strip, k.rows); ++j) add_row(j);
        });
    return film;
}

SparseFilm to_sparse(const LatticeFilm& film) {
    const Stencil<double>& k = film.stiffness;
    std::vector<int> number(k.star.size(), -1);
    SparseFilm out;
    for (std::size_t n = 0; n < k.star.size(); ++n) {
        if (k.star[n].centre == 0.0) continue;
        number[n] = static_cast<int>(out.place.size());
        out.place.push_back(n);
    }
    const auto size = static_cast<Eigen::Index>(out.place.size());
    std::vector<Eigen::Triplet<double>> entries;
    entries.reserve(9 * out.place.size());
    out.mass.resize(size);
    for (Eigen::Index u = 0; u < size; ++u) {
        const std::size_t n = out.place[static_cast<std::size_t>(u)];
        const HalfStar<double>& s = k.star[n];
        const int row = static_cast<int>(u);
        entries.emplace_back(row, row, s.centre);
        out.mass[u] = film.mass[n];
        const auto link = [&](std::size_t to, double weight) {
            if (weight == 0.0 || number[to] < 0) return;
            entries.emplace_back(row, number[to], weight);
            entries.emplace_back(number[to], row, weight);
        };
        link(n + 1, s.east);
        link(n + k.stride(), s.north);
        link(n + k.stride() + 1, s.north_east);
        link(n + k.stride() - 1, s.north_west);
    }
    out.stiffness.resize(size, size);
    out.stiffness.setFromTriplets(entries.begin(), entries.end());
    return out;
}

}  // namespace tymbal
