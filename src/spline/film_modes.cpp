#include "film_modes.h"

#include "tymbal/base/error.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace tymbal::spline {

namespace {

constexpr std::size_t most_grids = 9;

/// What the rim's spring leaves falls as the square of the spacing and stays below an end. Where the rim cuts cells the
/// spring is calibrated on the mean of where a straight rim cuts them: measured on a disc with a wide and one with a
/// small free hole, on one with a wide hole off its middle (the largest, .105) and on squares turned by .1, .3 and .6,
/// at 1 to 15 layers to the spacing. On grid lines it is exact for even tension: half of that in the frequency, as on
/// random squares with a hole near the rim (tests/spline).
struct RimDoubt {
    double frequency = 0.0, share = 0.0;  ///< over the bending share
};
RimDoubt rim_doubt(double layers_in_cell, bool cut) {
    const double square = layers_in_cell * layers_in_cell, frequency = std::min(0.12, 1.3e-3 * square);
    return cut ? RimDoubt{frequency, std::min(0.06, 3e-3 * square)} : RimDoubt{0.5 * frequency, 0.0};
}

/// Modes by their place in the film's spectrum: `count` of them above the lowest `first`.
struct Range {
    int first = 0, count = 0;
    [[nodiscard]] bool holds(const Range& other) const {
        return first <= other.first && other.first + other.count <= first + count;
    }
};

Range all_of(const SolvedGrid& g) {
    return {g.first, static_cast<int>(g.values.size())};
}

/// Those that are asked for: the grid's lowest, or its nearest to a frequency.
Range asked(const FilmProblem& problem, const SolvedGrid& g) {
    Range out{g.first, std::min(problem.count, static_cast<int>(g.values.size()))};
    if (problem.near <= 0.0) return out;
    const auto off = [&](int number) {
        return std::abs(std::sqrt(g.values[number - g.first]) - std::sqrt(problem.near));
    };
    while (all_of(g).holds({out.first + 1, out.count}) && off(out.first + out.count) < off(out.first)) ++out.first;
    return out;
}

/// What each grid says, coarsest first.
struct History {
    std::vector<double> spacing, sag, spot, mean_tension, peak;
    std::vector<Range> modes;
    std::vector<Vector> values, bending_shares, masses;

    void add(const SolvedGrid& g, double h) {
        spacing.push_back(h);
        sag.push_back(g.sag);
        spot.push_back(g.spot);
        mean_tension.push_back(g.mean_tension);
        peak.push_back(g.peak);
        modes.push_back(all_of(g));
        values.push_back(g.values);
        bending_shares.push_back(g.bending_shares);
        masses.push_back(g.masses);
    }
    /// Coarse grids that miss a mode are of no use to it.
    void drop_grids_without(const Range& needed) {
        const auto keeps = [&](const Range& r) { return r.holds(needed); };
        const auto last_without = std::find_if_not(modes.rbegin(), modes.rend(), keeps);
        const auto useless = modes.rend() - last_without;
        const auto drop = [&](auto&... all) { (all.erase(all.begin(), all.begin() + useless), ...); };
        drop(spacing, sag, spot, mean_tension, peak, modes, values, bending_shares, masses);
    }
    [[nodiscard]] Range common() const {
        int first = modes.front().first, end = first + modes.front().count;
        for (const Range& r : modes) {
            first = std::max(first, r.first);
            end = std::min(end, r.first + r.count);
        }
        return {first, end - first};
    }
    /// @param number  of modes below it
    [[nodiscard]] Series of(const std::vector<Vector>& rows, int number) const {
        Series s{spacing, {}};
        for (std::size_t g = 0; g < rows.size(); ++g) s.value.push_back(rows[g][number - modes[g].first]);
        return s;
    }
    [[nodiscard]] std::vector<Vector> values_of(const Range& range) const {
        std::vector<Vector> out;
        for (std::size_t g = 0; g < values.size(); ++g)
            out.push_back(values[g].segment(range.first - modes[g].first, range.count));
        return out;
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

/// Square root of bending stiffness over the film's mean tension, m.
double layer_of(const SolvedGrid& g) {
    return std::sqrt(g.plane.sheet.bending / std::max(g.mean_tension, 1e-30));
}

RimDoubt rim_doubt_of(const SolvedGrid& g) {
    return rim_doubt(g.cells.frame.hx / layer_of(g), !g.cells.held_edges.empty());
}

std::vector<FilmMode> describe(const History& history, const SolvedGrid& fine, bool corners, const Range& wanted) {
    const RimDoubt rim = rim_doubt_of(fine);
    const Range seen = history.common();
    std::vector<FilmMode> modes;
    for (int k = seen.first; k < seen.first + seen.count; ++k)
        modes.push_back({corners ? cornered_limit_of_energy(history.of(history.values, k))
                                 : smooth_limit(history.of(history.values, k), most_of_square),
                         limit(history.of(history.bending_shares, k), most_of_bending, corners),
                         limit(history.of(history.masses, k), most_of_mass, corners), 0.0});
    for (FilmMode& m : modes) m.bending_share.error *= share_scatter;
    for (const auto figure : {&FilmMode::square, &FilmMode::bending_share, &FilmMode::mass}) pool(modes, figure);
    const auto begin = modes.begin() + (wanted.first - seen.first);
    modes = {begin, begin + wanted.count};
    for (FilmMode& m : modes) {
        m.square.error += 2.0 * rim.frequency * m.bending_share.value * m.square.value;
        m.bending_share.error += rim.share * m.bending_share.value;
    }
    return modes;
}

void add_rim_shares(FilmModes& found) {
    constexpr double layers = 3.0;
    const SolvedGrid& g = found.grid;
    const SparseMatrix bending = rim_bending(g.cells, g.space, g.plane, layers * layer_of(g));
    const Eigen::MatrixXd vectors = found.vectors();
    for (std::size_t k = 0; k < found.modes.size(); ++k) {
        const auto v = vectors.col(static_cast<Eigen::Index>(k));
        const Eigen::Index row = found.first - g.first + static_cast<Eigen::Index>(k);
        const double at_rim = v.dot(bending.selfadjointView<Eigen::Lower>() * v);
        found.modes[k].rim_share = std::clamp(at_rim / (g.bending_shares[row] * g.values[row]), 0.0, 1.0);
    }
}

double worst(const std::vector<FilmMode>& modes) {
    double out = 0.0;
    for (const FilmMode& m : modes) out = std::max(out, 0.5 * m.square.error / m.square.value);
    return out;
}

}  // namespace

Vector middling_squares(const FilmProblem& problem, int first, const SolveEffort& effort) {
    const Start start = start_of(problem);
    const Spectrum s = spectrum(problem, start.region, start.spacing / grid_step, effort);
    if (unstable_shapes(problem, s) > 0) throw NoAnswer("a film changed by a few per cent is not stable when flat");
    const int before = modes_before(s, problem.near);
    if (!Range{before, static_cast<int>(s.pairs.values.size())}.holds({first, problem.count}))
        throw NoAnswer("a film changed by a few per cent has other modes near the frequency asked for");
    return s.pairs.values.segment(first - before, problem.count);
}

FilmModes film_modes(const FilmProblem& problem, const SolveEffort& effort) {
    const Start start = start_of(problem);
    constexpr double unknown = 1.0;  // a relative error before there are three grids
    History history;
    Range modes;
    FilmModes out;
    out.corners = has_sharp_corners(start.region);
    for (std::size_t g = 0; g < most_grids; ++g) {
        effort.keep_going();
        const double spacing = start.spacing / std::pow(grid_step, static_cast<double>(g));
        const bool enough = history.spacing.size() >= least_grids;
        if (enough && static_cast<double>(out.grid.space.size) * 1.2 * grid_step * grid_step > problem.most_unknowns)
            break;
        out.before = std::move(out.grid);
        out.grid = solved_grid(problem, start, spacing, history.spacing.empty(), effort);
        if (out.grid.unstable > 0) {  // what is compressed beside a corner may be so by the grid alone
            if (g + 1 >= least_grids) refuse_unstable(out.grid);
            history = {};
            continue;
        }
        history.add(out.grid, spacing);
        modes = asked(problem, out.grid);
        history.drop_grids_without(modes);
        out.modes.clear();
        if (history.spacing.size() >= least_grids) out.modes = describe(history, out.grid, out.corners, modes);
        const double error = out.modes.empty() ? unknown : worst(out.modes);
        if (effort.progress)
            effort.progress(
                {SolveStage::modes, static_cast<std::size_t>(out.grid.space.size), static_cast<int>(g) + 1, error});
        if (!out.modes.empty() && error <= problem.accuracy) break;
    }
    if (out.modes.empty())
        throw NoAnswer("no three grids agree on which modes these are; ask for more of them or for another frequency");
    out.first = modes.first;
    add_rim_shares(out);
    // A static answer goes as the stiffness of the softest shape, which the rim's spring moves as its frequency's
    // square.
    const double by_rim = 2.0 * rim_doubt_of(out.grid).frequency * out.modes.front().bending_share.value;
    const auto answer = [&](const std::vector<double>& values) {
        Bounded found = limit({history.spacing, values}, most_of_mass, out.corners);
        found.error += by_rim * found.value;
        return found;
    };
    out.sag = answer(history.sag);
    out.spot = answer(history.spot);
    out.mean_tension = limit({history.spacing, history.mean_tension}, most_of_mass, out.corners);
    out.peak = smooth_limit({history.spacing, history.peak}, most_of_peak);
    out.peak.error += 2.0 * out.grid.peak_doubt;  // what lies along the edge is no better known than what lies across
    out.cut_rim = has_cut_rim(start.region);
    out.loose = start.region.loose;
    if (!start.blind.corners.empty()) out.blind_radius = start.blind.radius;
    out.squares = history.values_of(modes);
    out.spacing = std::move(history.spacing);
    out.unknowns = static_cast<std::size_t>(out.grid.space.size);
    return out;
}

}  // namespace tymbal::spline
