#include "tymbal/grid/stencil.h"

#include "corner.h"

#include <algorithm>
#include <array>

namespace tymbal {

namespace {

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

/// The lattice of a grid with its masses and no stiffness yet.
LatticeFilm massive_lattice(const Grid& grid, const std::vector<double>& areal_density) {
    LatticeFilm film{Stencil<double>(grid.columns - 2, grid.rows - 2), {}};
    film.mass.assign(film.stiffness.star.size(), 0.0);
    const Vector mass = mass_vector(grid, areal_density);
    for (std::size_t n = 0; n < grid.nodes.size(); ++n)
        film.mass[place_of(film.stiffness, grid.nodes[n])] = mass[static_cast<Eigen::Index>(n)];
    return film;
}

}  // namespace

std::size_t LatticeFilm::unknowns() const {
    return static_cast<std::size_t>(std::count_if(stiffness.star.begin(), stiffness.star.end(),
                                                  [](const HalfStar<double>& s) { return s.centre != 0.0; }));
}

LatticeFilm lattice_film(const Grid& grid, const CellTensor& tension, const std::vector<double>& areal_density) {
    LatticeFilm film = massive_lattice(grid, areal_density);
    for_each_corner(film.stiffness, grid, 1,
                    [&](std::size_t, const Corner& c) { add_corner(film.stiffness, c, tension[c.cell]); });
    return film;
}

LatticeFilm corner_lattice_film(const Grid& grid, const CornerTensor& tension, const std::vector<double>& areal_density,
                                unsigned threads) {
    LatticeFilm film = massive_lattice(grid, areal_density);
    for_each_corner(film.stiffness, grid, threads,
                    [&](std::size_t n, const Corner& c) { add_corner(film.stiffness, c, tension[n]); });
    return film;
}

LatticeFilm lattice_film(const RectangleCells& cells, const CellTensor& tension,
                         const std::vector<double>& areal_density, unsigned threads) {
    LatticeFilm film{Stencil<double>(cells.columns - 1, cells.rows - 1), {}};
    Stencil<double>& k = film.stiffness;
    film.mass.assign(k.star.size(), 0.0);
    for_each_corner(k, cells, threads, [&](const Corner& c) {
        film.mass[c.node] += 0.25 * areal_density[c.cell] * cells.dx * cells.dy;
        if (tension[c.cell] != std::array<double, 3>{}) add_corner(k, c, tension[c.cell]);
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
