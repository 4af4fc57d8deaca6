#include "solved_grid.h"

#include "factor.h"
#include "large_spectrum.h"
#include "loads.h"
#include "pairs.h"
#include "places.h"
#include "plane_balance.h"
#include "shapes.h"

#include "tymbal/base/error.h"

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>

namespace tymbal::spline {

namespace {

Vector masses_of(const SolvedGrid& g) {
    Vector top = Vector::Zero(g.values.size());
    for_each_place(g.cells, [&](std::size_t part, Point at, bool) {
        const Local w = splines_at(at.x, at.y, 0, 0);
        for (Eigen::Index m = 0; m < top.size(); ++m)
            top[m] = std::max(top[m], std::abs(w.dot(coefficients(g.space.parts[part], g.vectors.col(m)))));
    });
    return top.array().square().inverse();
}

/// What static loads move: the largest deflection under a pressure, and the spot's own under its force.
void answer_loads(const Spectrum& s, const std::optional<Spot>& spot, SolvedGrid& g) {
    std::optional<Factor> factor;
    if (s.sagged.size() == 0) factor.emplace(s.plate.stiffness, s.space, 1);
    const Vector sagged = factor ? Vector(factor->solve(pressure_load(s.cells, s.space))) : s.sagged;
    for_each_place(s.cells, [&](std::size_t part, Point at, bool) {
        const Local w = coefficients(s.space.parts[part], sagged);
        g.sag = std::max(g.sag, std::abs(splines_at(at.x, at.y, 0, 0).dot(w)));
    });
    if (!spot) return;
    const Vector load = spot_load(s.cells, s.space, *spot);
    g.spot = load.dot(factor ? Vector(factor->solve(load)) : s.dented);
}

void raise_peak(SolvedGrid& g, const Blind& blind, double tension, double doubt, std::size_t part, Point at) {
    if (tension <= g.peak) return;
    const Point place = g.cells.place(g.cells.parts[part], at.x, at.y);
    if (blind.covers(place)) return;
    g.peak = tension;
    g.peak_doubt = doubt;
    g.peak_at = place;
}

double von_mises(const Tension& n) {
    return std::sqrt(n.xx * n.xx - n.xx * n.yy + n.yy * n.yy + 3.0 * n.xy * n.xy);
}

/// On a free edge only the tension along it is left. It follows from the strain along the edge alone,
/// N_t = E h e_t + N_0 (1 - nu), which is more accurate there than the solution's own normal tension; that one, which
/// should be zero, tells how far the solution is from the truth.
void look_at_free_edge(SolvedGrid& g, const Blind& blind, const EdgePiece& e, Point at) {
    const Frame& f = g.cells.frame;
    const double dx = (e.b.x - e.a.x) * f.hx, dy = (e.b.y - e.a.y) * f.hy, length = std::hypot(dx, dy);
    if (!(length > 0.0)) return;
    const auto part = static_cast<std::size_t>(e.part);
    const Tension n = g.plane.at(g.cells, g.space, part, at);
    const double tx = dx / length, ty = dy / length, nu = g.plane.sheet.poisson;
    const double along = n.xx * tx * tx + n.yy * ty * ty + 2.0 * n.xy * tx * ty;
    const double across = n.xx * ty * ty + n.yy * tx * tx - 2.0 * n.xy * tx * ty;
    raise_peak(g, blind, std::abs(along - nu * across), std::abs(across), part, at);
}

void find_peak(SolvedGrid& g, const Blind& blind) {
    for_each_place(g.cells, [&](std::size_t part, Point at, bool free) {
        if (!free) raise_peak(g, blind, von_mises(g.plane.at(g.cells, g.space, part, at)), 0.0, part, at);
    });
    for (const EdgePiece& e : g.cells.free_edges)
        for (const Point& at : {e.a, e.b}) look_at_free_edge(g, blind, e, at);
}

std::string micrometres(double metres) {
    return std::to_string(1e6 * metres).substr(0, 7) + " um";
}

/// A place between two values, at or below `last`, that no pair straddles.
Eigen::Index gap_below(const Vector& values, Eigen::Index last) {
    while (last > 0 && values[last - 1] > values[last] * (1.0 - 1e-6)) --last;
    return last;
}

/// No mode may be missing between the first and the last one found, of which the one below the first gap is `first`.
void require_all_found(const Plate& p, const Space& space, const Vector& values, int first) {
    const Eigen::Index sure = gap_below(values, values.size() - 1);
    if (sure < 1) return;
    const double between = 0.5 * (values[sure - 1] + values[sure]);
    const int below = Factor(p.stiffness - between * p.mass, space, 1).negative();
    if (below != first + sure)
        throw NoAnswer("the solution of the modes lost one: " + std::to_string(below) +
                       " lie below the place of number " + std::to_string(first + sure + 1) +
                       "; ask for another number of modes");
}

}  // namespace

void require_allowed(const FilmProblem& problem, const Space& space) {
    if (space.size > problem.most_unknowns)
        throw NoAnswer("the film's narrowest part asks for " + std::to_string(space.size) +
                       " unknowns, more than the solution takes; make it wider or the outline smaller");
}

Spectrum spectrum(const FilmProblem& problem, const Region& region, double spacing, const SolveEffort& effort) {
    return is_large(problem, region, spacing) ? large_spectrum(problem, region, spacing, effort)
                                              : factored_spectrum(problem, region, spacing, effort);
}

Spectrum factored_spectrum(const FilmProblem& problem, const Region& region, double spacing,
                           const SolveEffort& effort) {
    Spectrum s;
    s.cells = cut_cells(region, frame_of(region, spacing));
    s.space = make_space(s.cells);
    require_allowed(problem, s.space);
    effort.keep_going();
    s.plane = relax(s.cells, s.space, problem.sheet);
    effort.keep_going();
    s.plate = plate(s.cells, s.space, s.plane);
    s.pairs = nearest_modes(s.plate, s.space, modes_per_grid(problem), problem.near, effort);
    return s;
}

int modes_before(const Spectrum& s, double shift) {
    return s.pairs.below - static_cast<int>((s.pairs.values.array() < shift).count());
}

int unstable_shapes(const FilmProblem& problem, const Spectrum& s) {
    return problem.near > 0.0 ? Factor(s.plate.stiffness, s.space, 1).negative() : s.pairs.below;
}

void refuse_unstable(const SolvedGrid& g) {
    const int below = g.unstable;
    Eigen::Index lowest = 0;
    g.values.minCoeff(&lowest);
    double top = 0.0;
    Point at;
    for_each_place(g.cells, [&](std::size_t part, Point p, bool) {
        const double w =
            std::abs(splines_at(p.x, p.y, 0, 0).dot(coefficients(g.space.parts[part], g.vectors.col(lowest))));
        if (w > top) {
            top = w;
            at = g.cells.place(g.cells.parts[part], p.x, p.y);
        }
    });
    throw UnstableFilm(
        "the flat film is not stable: " + std::to_string(below) + (below == 1 ? " shape has" : " shapes have") +
        " no stiffness, the softest moves most at (" + micrometres(at.x) + ", " + micrometres(at.y) +
        "); film there is compressed: round or widen it, make it thicker, or raise film.stress where that "
        "is what holds it");
}

SolvedGrid solved_grid(const FilmProblem& problem, const Start& start, double spacing, bool check,
                       const SolveEffort& effort) {
    Spectrum s = spectrum(problem, start.region, spacing, effort);
    SolvedGrid g;
    g.unstable = unstable_shapes(problem, s);
    if (g.unstable > 0 && problem.near > 0.0) s.pairs = nearest_modes(s.plate, s.space, 1, 0.0);
    g.first = modes_before(s, problem.near);
    if (g.unstable == 0) answer_loads(s, problem.spot, g);
    g.cells = std::move(s.cells);
    g.space = std::move(s.space);
    g.plane = std::move(s.plane);
    g.values = std::move(s.pairs.values);
    g.vectors = std::move(s.pairs.vectors);
    if (g.unstable > 0) return g;
    turn_pairs(g.cells, g.space, g.values, g.vectors);
    const bool counted = s.plate.stiffness.size() == 0;  // on a coarser grid
    if (check && !counted) require_all_found(s.plate, g.space, g.values, g.first);
    g.bending_shares.resize(g.values.size());
    for (Eigen::Index k = 0; k < g.values.size(); ++k)
        g.bending_shares[k] =
            g.vectors.col(k).dot(s.plate.bending.selfadjointView<Eigen::Lower>() * g.vectors.col(k)) / g.values[k];
    g.masses = masses_of(g);
    g.mean_tension = mean_tension(g.cells, g.space, g.plane);
    find_peak(g, start.blind);
    return g;
}

}  // namespace tymbal::spline
