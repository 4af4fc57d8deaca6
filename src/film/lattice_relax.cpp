#include "tymbal/film/lattice_relax.h"

#include "plane_cycle.h"

#include "tymbal/base/error.h"

#include "../base/in_parallel.h"
#include "../grid/corner.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <utility>

namespace tymbal {

namespace {

/// Strain (xx, yy, gamma_xy) at a corner from the displacements (x, y) of its node and the ends of its arms along x
/// and y; ends on the rim do not move.
using StrainOf = std::array<std::array<double, 6>, 3>;

StrainOf strain_of(const Corner& c) {
    const double x = (c.right ? 1.0 : -1.0) / c.length_x;
    const double y = (c.up ? 1.0 : -1.0) / c.length_y;
    const double far_x = c.cut_x ? 0.0 : x, far_y = c.cut_y ? 0.0 : y;
    return {{{-x, 0.0, far_x, 0.0, 0.0, 0.0}, {0.0, -y, 0.0, 0.0, 0.0, far_y}, {-y, -x, 0.0, far_x, far_y, 0.0}}};
}

/// The stiffness of a corner with area weights: what acts in its energy.
Voigt weighted(const Voigt& stiffness, const Corner& c, double share) {
    const std::array<double, 3> area{c.area_x, c.area_y, 0.5 * (c.area_x + c.area_y)};
    Voigt out{};
    for (std::size_t r = 0; r < 3; ++r)
        for (std::size_t s = 0; s < 3; ++s) out[r][s] = share * stiffness[r][s] * (r == s ? area[r] : area[2]);
    return out;
}

/// The link from the node at place a to that at b; held by the one that comes first.
void add_link(PlaneMatrix& k, std::size_t a, std::size_t b, const Square& weight) {
    if (a > b) return;  // comes again the other way round
    HalfStar<Square>& s = k.star[a];
    Square& held = a == b                    ? s.centre
                   : b - a == 1              ? s.east
                   : b - a == k.stride()     ? s.north
                   : b - a == k.stride() + 1 ? s.north_east
                                             : s.north_west;
    held = held + weight;
}

void add_corner(PlaneMatrix& k, const Corner& c, const Voigt& stiffness) {
    const StrainOf strain = strain_of(c);
    std::array<std::array<double, 6>, 3> tension{};
    for (std::size_t r = 0; r < 3; ++r)
        for (std::size_t s = 0; s < 3; ++s)
            for (std::size_t u = 0; u < 6; ++u) tension[r][u] += stiffness[r][s] * strain[s][u];
    const std::array<std::size_t, 3> place{c.node, c.to_x, c.to_y};
    const std::array<bool, 3> moves{true, !c.cut_x, !c.cut_y};
    const auto entry = [&](std::size_t u, std::size_t v) {
        return strain[0][u] * tension[0][v] + strain[1][u] * tension[1][v] + strain[2][u] * tension[2][v];
    };
    for (std::size_t a = 0; a < 3; ++a)
        for (std::size_t b = 0; b < 3; ++b)
            if (moves[a] && moves[b])
                add_link(k, place[a], place[b],
                         {entry(2 * a, 2 * b), entry(2 * a, 2 * b + 1), entry(2 * a + 1, 2 * b),
                          entry(2 * a + 1, 2 * b + 1)});
}

void add_load(Displacement& load, const Corner& c, const Voigt& stiffness, const std::array<double, 3>& area,
              double strain_0) {
    const StrainOf strain = strain_of(c);
    const std::array<std::size_t, 3> place{c.node, c.to_x, c.to_y};
    double* const to = load.at(-1, -1);
    for (std::size_t r = 0; r < 3; ++r) {
        const double pull = (stiffness[r][0] + stiffness[r][1]) * strain_0 * area[r];
        for (std::size_t a = 0; a < 3; ++a)
            for (std::size_t v = 0; v < 2; ++v) to[2 * place[a] + v] -= pull * strain[r][2 * a + v];
    }
}

/// Sum of a' b, row by row, whatever the number of threads.
double dot(const Displacement& a, const Displacement& b, unsigned threads) {
    std::vector<double> part(static_cast<std::size_t>(a.rows()));
    in_parallel(part.size(), a.rows() < 64 ? 1 : threads, [&](std::size_t row) {
        const double *const x = a.at(0, static_cast<int>(row)), *const y = b.at(0, static_cast<int>(row));
        double sum = 0.0;
        for (int n = 0; n < 2 * a.columns(); ++n) sum += x[n] * y[n];
        part[row] = sum;
    });
    double all = 0.0;
    for (const double p : part) all += p;
    return all;
}

/// y = a x + b y
void add(double a, const Displacement& x, double b, Displacement& y, unsigned threads) {
    in_parallel(static_cast<std::size_t>(y.rows()), y.rows() < 64 ? 1 : threads, [&](std::size_t row) {
        const double* const from = x.at(0, static_cast<int>(row));
        double* const to = y.at(0, static_cast<int>(row));
        for (int n = 0; n < 2 * y.columns(); ++n) to[n] = a * from[n] + b * to[n];
    });
}

struct Balanced {
    Displacement u;
    int steps = 0;
    double residual = 0.0;
    std::size_t bytes = 0;
};

/// Conjugate gradients for K u = load, which is used up.
Balanced balance(const PlaneMatrix& k, Displacement&& load, const RelaxOptions& options, const SolveEffort& effort) {
    const unsigned threads = effort.cores();
    PlaneCycle cycle(k, threads);
    const auto fresh = [&] {
        Displacement zero(k.columns, k.rows, 2);
        zero.clear();
        return zero;
    };
    Balanced out{fresh(), 0, 0.0, 0};
    Displacement r = std::move(load), z = fresh(), p = fresh(), kp = fresh();
    out.bytes = k.star.size() * sizeof(HalfStar<Square>) + cycle.bytes() + 5 * r.bytes();
    const double start = std::sqrt(dot(r, r, threads));
    const std::size_t unknowns = 2 * static_cast<std::size_t>(k.columns) * static_cast<std::size_t>(k.rows);
    double before = 1.0;
    for (out.residual = start > 0.0 ? 1.0 : 0.0; out.residual > options.residual; ++out.steps) {
        effort.keep_going();
        if (out.steps == options.largest_steps)
            throw NoAnswer("the film's in-plane balance does not converge in " + std::to_string(out.steps) +
                           " steps; refine the grid, or the holes leave film that nothing holds");
        cycle.solve(r, z);
        const double now = dot(r, z, threads);
        add(1.0, z, out.steps == 0 ? 0.0 : now / before, p, threads);
        before = now;
        const double length = now / plane_product(k, p, kp, threads);
        add(length, p, 1.0, out.u, threads);
        add(-length, kp, 1.0, r, threads);
        out.residual = std::sqrt(dot(r, r, threads)) / start;
        if (!std::isfinite(out.residual)) throw NoAnswer("the film's in-plane stiffness is not positive");
        if (effort.progress) effort.progress({SolveStage::stress, unknowns, out.steps + 1, out.residual});
    }
    return out;
}

/// A corner's part in the stiffness and in the forces of the film as deposited.
void add_film(PlaneMatrix& k, Displacement& load, const Corner& c, double share, const StretchedFilm& film) {
    if (share <= 0.0) return;
    add_corner(k, c, weighted(film.stiffness, c, share));
    const double mixed = 0.5 * (c.area_x + c.area_y) * share;
    add_load(load, c, film.stiffness, {c.area_x * share, c.area_y * share, mixed}, film.strain_0);
}

/// Strain (xx, yy, gamma_xy) at a corner.
std::array<double, 3> strain_at(const Corner& c, const double* u, double strain_0) {
    const StrainOf row = strain_of(c);
    const std::array<std::size_t, 3> place{c.node, c.to_x, c.to_y};
    std::array<double, 3> strain{strain_0, strain_0, 0.0};
    for (std::size_t r = 0; r < 3; ++r)
        for (std::size_t a = 0; a < 3; ++a)
            for (std::size_t v = 0; v < 2; ++v) strain[r] += row[r][2 * a + v] * u[2 * place[a] + v];
    return strain;
}

}  // namespace

Relaxed relax(const RectangleCells& cells, const std::vector<double>& share, const StretchedFilm& film,
              const RelaxOptions& options, const SolveEffort& effort) {
    PlaneMatrix k(cells.columns - 1, cells.rows - 1);
    Displacement load(k.columns, k.rows, 2);
    load.clear();
    const unsigned threads = effort.cores();
    for_each_corner(k, cells, threads, [&](const Corner& c) { add_film(k, load, c, share[c.cell], film); });
    const Balanced balanced = balance(k, std::move(load), options, effort);
    Relaxed out{CellTensor(share.size()), balanced.steps, balanced.residual, balanced.bytes + 32 * share.size()};
    std::vector<double> weight(share.size(), 0.0);
    for_each_corner(k, cells, threads, [&](const Corner& c) {
        const double area = 0.5 * (c.area_x + c.area_y);
        weight[c.cell] += area;
        if (share[c.cell] <= 0.0) return;
        const std::array<double, 3> strain = strain_at(c, balanced.u.at(-1, -1), film.strain_0);
        for (std::size_t r = 0; r < 3; ++r)
            for (std::size_t s = 0; s < 3; ++s)
                out.tension[c.cell][r] += area * share[c.cell] * film.stiffness[r][s] * strain[s];
    });
    for (std::size_t c = 0; c < share.size(); ++c)
        for (double& n : out.tension[c]) n = weight[c] > 0.0 ? n / weight[c] : 0.0;
    return out;
}

Vector relaxed_displacement(const Grid& grid, const std::vector<double>& share, const StretchedFilm& film,
                            const RelaxOptions& options, const SolveEffort& effort) {
    PlaneMatrix k(grid.columns - 2, grid.rows - 2);
    Displacement load(k.columns, k.rows, 2);
    load.clear();
    for_each_corner(k, grid, effort.cores(),
                    [&](std::size_t, const Corner& c) { add_film(k, load, c, share[c.cell], film); });
    const Balanced balanced = balance(k, std::move(load), options, effort);
    const double* const u = balanced.u.at(-1, -1);
    Vector kept(static_cast<Eigen::Index>(2 * grid.nodes.size()));
    prefer_huge_pages(kept);
    for (std::size_t n = 0; n < grid.nodes.size(); ++n)
        for (std::size_t v = 0; v < 2; ++v)
            kept[static_cast<Eigen::Index>(2 * n + v)] = u[2 * place_of(k, grid.nodes[n]) + v];
    return kept;
}

std::size_t relax_bytes(const RectangleCells& cells) {
    const double nodes = static_cast<double>(cells.columns + 1) * static_cast<double>(cells.rows + 1);
    const double vector = 2.0 * sizeof(double), coarser = 1.0 / 3.0;
    // The matrices; displacement, residual, correction, direction and its force; both vectors of the coarser levels;
    // the tension of the cells and its weights.
    return static_cast<std::size_t>(
        nodes * ((1.0 + coarser) * sizeof(HalfStar<Square>) + (5.0 + 2.0 * coarser) * vector + 4.0 * sizeof(double)));
}

}  // namespace tymbal
