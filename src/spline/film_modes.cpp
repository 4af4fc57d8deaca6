#include "film_modes.h"

#include "factor.h"
#include "pairs.h"
#include "shapes.h"

#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>

namespace tymbal::spline {

namespace {

constexpr double step = 1.5;      // from grid to grid
constexpr std::size_t grids = 3;  // two differences show how errors fall
constexpr std::size_t most_grids = 9;
constexpr int spare_modes = 2;  // so that no pair is cut in two at the end of the list

/// Places where a displacement or a stress may be largest: a raster in whole cells, the ends of edge pieces elsewhere.
template <class Visit>
void for_each_place(const Cells& cells, Visit visit) {
    constexpr int raster = 4;
    for (std::size_t p = 0; p < cells.parts.size(); ++p)
        if (cells.parts[p].cut < 0)
            for (int j = 0; j <= raster; ++j)
                for (int i = 0; i <= raster; ++i)
                    visit(p, Point{static_cast<double>(i) / raster, static_cast<double>(j) / raster}, false);
    for (const auto* edges : {&cells.free_edges, &cells.held_edges})
        for (const EdgePiece& e : *edges)
            for (const Point& at : {e.a, e.b}) visit(static_cast<std::size_t>(e.part), at, edges == &cells.free_edges);
}

Vector masses_of(const SolvedGrid& g) {
    Vector top = Vector::Zero(g.values.size());
    for_each_place(g.cells, [&](std::size_t part, Point at, bool) {
        const Local w = splines_at(at.x, at.y, 0, 0);
        for (Eigen::Index m = 0; m < top.size(); ++m)
            top[m] = std::max(top[m], std::abs(w.dot(coefficients(g.space.parts[part], g.vectors.col(m)))));
    });
    return top.array().square().inverse();
}

void raise_peak(SolvedGrid& g, double tension, double doubt, std::size_t part, Point at) {
    if (tension <= g.peak) return;
    g.peak = tension;
    g.peak_doubt = doubt;
    g.peak_at = g.cells.place(g.cells.parts[part], at.x, at.y);
}

double von_mises(const Tension& n) {
    return std::sqrt(n.xx * n.xx - n.xx * n.yy + n.yy * n.yy + 3.0 * n.xy * n.xy);
}

/// On a free edge only the tension along it is left. It follows from the strain along the edge alone,
/// N_t = E h e_t + N_0 (1 - nu), which is more accurate there than the solution's own normal tension; that one, which
/// should be zero, tells how far the solution is from the truth.
void look_at_free_edge(SolvedGrid& g, const EdgePiece& e, Point at) {
    const Frame& f = g.cells.frame;
    const double dx = (e.b.x - e.a.x) * f.hx, dy = (e.b.y - e.a.y) * f.hy, length = std::hypot(dx, dy);
    if (!(length > 0.0)) return;
    const auto part = static_cast<std::size_t>(e.part);
    const Tension n = g.plane.at(g.cells, g.space, part, at);
    const double tx = dx / length, ty = dy / length, nu = g.plane.sheet.poisson;
    const double along = n.xx * tx * tx + n.yy * ty * ty + 2.0 * n.xy * tx * ty;
    const double across = n.xx * ty * ty + n.yy * tx * tx - 2.0 * n.xy * tx * ty;
    raise_peak(g, std::abs(along - nu * across), std::abs(across), part, at);
}

void find_peak(SolvedGrid& g) {
    for_each_place(g.cells, [&](std::size_t part, Point at, bool free) {
        if (!free) raise_peak(g, von_mises(g.plane.at(g.cells, g.space, part, at)), 0.0, part, at);
    });
    for (const EdgePiece& e : g.cells.free_edges)
        for (const Point& at : {e.a, e.b}) look_at_free_edge(g, e, at);
}

std::string micrometres(double metres) {
    return std::to_string(1e6 * metres).substr(0, 7) + " um";
}

/// @throws NoAnswer that says where the shape without stiffness moves
[[noreturn]] void refuse_unstable(const SolvedGrid& g) {
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
    throw NoAnswer("the flat film is not stable: " + std::to_string(below) +
                   (below == 1 ? " shape has" : " shapes have") + " no stiffness, the softest moves most at (" +
                   micrometres(at.x) + ", " + micrometres(at.y) +
                   "); film there is compressed: round or widen it, make it thicker, or raise film.stress where that "
                   "is what holds it");
}

/// No mode may be missing below the last one found.
void require_all_found(const Plate& p, const Space& space, const Vector& values) {
    if (values.size() < 2) return;
    const double last = values[values.size() - 1];
    Eigen::Index sure = values.size() - 1;
    while (sure > 1 && values[sure - 1] > last * (1.0 - 1e-6)) --sure;
    if (sure < 1) return;
    const double between = 0.5 * (values[sure - 1] + values[sure]);
    const int below = Factor(p.stiffness - between * p.mass, space, 1).negative();
    if (below != sure)
        throw NoAnswer("the solution of the modes lost one: " + std::to_string(below) +
                       " lie below the place of number " + std::to_string(sure + 1) +
                       "; ask for another number of modes");
}

/// One grid's forms and their lowest pairs.
struct Spectrum {
    Cells cells;
    Space space;
    Plane plane;
    Plate plate;
    Eigenpairs pairs;
};

Spectrum spectrum(const FilmProblem& problem, const Region& region, double spacing) {
    Spectrum s;
    s.cells = cut_cells(region, frame_of(region, spacing));
    s.space = make_space(s.cells);
    if (s.space.size > problem.most_unknowns)
        throw NoAnswer("the film's narrowest part asks for " + std::to_string(s.space.size) +
                       " unknowns, more than the direct solution takes; make it wider or the outline smaller");
    s.plane = relax(s.cells, s.space, problem.sheet);
    s.plate = plate(s.cells, s.space, s.plane);
    s.pairs = nearest_modes(s.plate, s.space, problem.count + spare_modes, 0.0);
    return s;
}

SolvedGrid solve(const FilmProblem& problem, const Region& region, double spacing, bool first) {
    Spectrum s = spectrum(problem, region, spacing);
    SolvedGrid g;
    g.cells = std::move(s.cells);
    g.space = std::move(s.space);
    g.plane = std::move(s.plane);
    g.values = std::move(s.pairs.values);
    g.vectors = std::move(s.pairs.vectors);
    g.unstable = s.pairs.below;
    if (g.unstable > 0) return g;
    turn_pairs(g.cells, g.space, g.values, g.vectors);
    if (first) require_all_found(s.plate, g.space, g.values);
    g.bending_shares.resize(g.values.size());
    for (Eigen::Index k = 0; k < g.values.size(); ++k)
        g.bending_shares[k] =
            g.vectors.col(k).dot(s.plate.bending.selfadjointView<Eigen::Lower>() * g.vectors.col(k)) / g.values[k];
    g.masses = masses_of(g);
    g.mean_tension = mean_tension(g.cells, g.space, g.plane);
    find_peak(g);
    return g;
}

/// The rim's spring is calibrated on the mean of where a straight rim cuts its cell; what single places and bent rims
/// leave falls as the square of the spacing and stays below an end. Measured on a disc with a wide and one with a small
/// free hole and on squares turned by .1, .3 and .6, at 1 to 15 layers to the spacing.
struct RimDoubt {
    double frequency = 0.0, share = 0.0;  ///< over the bending share
};
RimDoubt rim_doubt(double layers_in_cell) {
    const double square = layers_in_cell * layers_in_cell;
    return {std::min(0.08, 1.3e-3 * square), std::min(0.06, 3e-3 * square)};
}

/// What each grid says, coarsest first.
struct History {
    std::vector<double> spacing, mean_tension, peak;
    std::vector<Vector> values, bending_shares, masses;

    void add(const SolvedGrid& g, double h) {
        spacing.push_back(h);
        mean_tension.push_back(g.mean_tension);
        peak.push_back(g.peak);
        values.push_back(g.values);
        bending_shares.push_back(g.bending_shares);
        masses.push_back(g.masses);
    }
    [[nodiscard]] Series of(const std::vector<Vector>& rows, Eigen::Index mode) const {
        Series s{spacing, {}};
        for (const Vector& row : rows) s.value.push_back(row[mode]);
        return s;
    }
};

/// How much a step may at most improve a figure of a film without corners: tension's energy and displacements by the
/// fourth and third power of the spacing, the energy of curvature by its square; one place's strain by the first.
constexpr double most_of_square = 4.0, most_of_mass = 3.0, most_of_bending = 2.25, most_of_peak = 2.0;

/// Curvature scatters more from grid to grid than displacement: without this 89 to 98 % of random films were covered.
constexpr double share_scatter = 1.5;

Bounded limit(const Series& series, double most, bool corners) {
    return corners ? cornered_limit(series) : smooth_limit(series, most);
}

/// A difference of two grids may be small by luck; not in most modes at a time. No relative error is below the median.
void pool(std::vector<FilmMode>& modes, Bounded FilmMode::*figure) {
    std::vector<double> relative;
    for (const FilmMode& m : modes) relative.push_back((m.*figure).error / (m.*figure).value);
    const auto middle = relative.begin() + static_cast<std::ptrdiff_t>(relative.size() / 2);
    std::nth_element(relative.begin(), middle, relative.end());
    for (FilmMode& m : modes) (m.*figure).error = std::max((m.*figure).error, *middle * (m.*figure).value);
}

std::vector<FilmMode> describe(const History& history, const SolvedGrid& fine, bool corners, int count) {
    const Sheet& sheet = fine.plane.sheet;
    const double layer = std::sqrt(sheet.bending / std::max(fine.mean_tension, 1e-30));
    const RimDoubt rim = fine.cells.held_edges.empty() ? RimDoubt{} : rim_doubt(fine.cells.frame.hx / layer);
    std::vector<FilmMode> modes;
    for (Eigen::Index k = 0; k < fine.values.size(); ++k)
        modes.push_back({corners ? cornered_limit_of_energy(history.of(history.values, k))
                                 : smooth_limit(history.of(history.values, k), most_of_square),
                         limit(history.of(history.bending_shares, k), most_of_bending, corners),
                         limit(history.of(history.masses, k), most_of_mass, corners)});
    for (FilmMode& m : modes) m.bending_share.error *= share_scatter;
    for (const auto figure : {&FilmMode::square, &FilmMode::bending_share, &FilmMode::mass}) pool(modes, figure);
    modes.resize(static_cast<std::size_t>(std::min<Eigen::Index>(count, fine.values.size())));
    for (FilmMode& m : modes) {
        m.square.error += 2.0 * rim.frequency * m.bending_share.value * m.square.value;
        m.bending_share.error += rim.share * m.bending_share.value;
    }
    return modes;
}

double worst(const std::vector<FilmMode>& modes) {
    double out = 0.0;
    for (const FilmMode& m : modes) out = std::max(out, 0.5 * m.square.error / m.square.value);
    return out;
}

/// The first grid sees what is narrow, and enough of the waves.
double first_spacing(const FilmProblem& problem, const Box& box) {
    const double length = std::max(box.high.x - box.low.x, box.high.y - box.low.y);
    const double across = std::min(box.high.x - box.low.x, box.high.y - box.low.y);
    double narrow = problem.narrowest > 0.0 ? problem.narrowest : across;
    for (const Edge& e : problem.rim)
        if (e.radius > 0.0) narrow = std::min(narrow, 2.0 * e.radius);
    return std::min({length / 16.0, across / 2.0, narrow / 1.5});
}

}  // namespace

double needed_unknowns(const FilmProblem& problem) {
    const double last = first_spacing(problem, bounding_box(problem.rim)) / std::pow(step, grids - 1);
    const Region region = film_region(problem.rim, problem.openings, last, problem.held);
    double edges = 0.0;
    for (const Curve& c : region.curves)
        for (std::size_t k = 0; k < c.points.size(); ++k) {
            const Point &a = c.points[k], &b = c.points[(k + 1) % c.points.size()];
            edges += std::hypot(b.x - a.x, b.y - a.y);
        }
    return region.area / (last * last) + edges / last;  // splines of cells that edges cut reach a cell beyond them
}

double held_bytes(double unknowns) {
    return 600.0 * unknowns *
           std::log2(std::max(2.0, unknowns));  // the factor: nested dissection fills by the logarithm
}

Vector middling_squares(const FilmProblem& problem) {
    const double spacing = first_spacing(problem, bounding_box(problem.rim)) / step;
    const Region region = film_region(problem.rim, problem.openings, spacing / step, problem.held);
    const Spectrum s = spectrum(problem, region, spacing);
    if (s.pairs.below > 0) throw NoAnswer("a film changed by a few per cent is not stable when flat");
    return s.pairs.values;
}

FilmModes film_modes(const FilmProblem& problem, const SolveEffort& effort) {
    const double first = first_spacing(problem, bounding_box(problem.rim));
    const Region region = film_region(problem.rim, problem.openings, first / (step * step), problem.held);
    const bool corners = has_sharp_corners(region);
    History history;
    FilmModes out;
    for (std::size_t g = 0; g < most_grids; ++g) {
        effort.keep_going();
        const double spacing = first / std::pow(step, static_cast<double>(g));
        if (g >= grids && static_cast<double>(out.grid.space.size) * 1.2 * step * step > problem.most_unknowns) break;
        out.grid = solve(problem, region, spacing, g == 0);
        if (out.grid.unstable > 0) {  // what is compressed beside a corner may be so by the grid alone
            if (g + 1 >= grids) refuse_unstable(out.grid);
            history = {};
            continue;
        }
        history.add(out.grid, spacing);
        if (history.spacing.size() < grids) continue;
        out.modes = describe(history, out.grid, corners, problem.count);
        if (worst(out.modes) <= problem.accuracy) break;
    }
    out.mean_tension = limit({history.spacing, history.mean_tension}, most_of_mass, corners);
    out.peak = smooth_limit({history.spacing, history.peak}, most_of_peak);
    out.peak.error += 2.0 * out.grid.peak_doubt;  // what lies along the edge is no better known than what lies across
    out.loose = region.loose;
    out.spacing = std::move(history.spacing);
    out.squares = std::move(history.values);
    out.unknowns = static_cast<std::size_t>(out.grid.space.size);
    return out;
}

}  // namespace tymbal::spline
