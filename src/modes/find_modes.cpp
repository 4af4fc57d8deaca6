#include "tymbal/modes/find_modes.h"

#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"
#include "tymbal/geometry/front.h"
#include "tymbal/grid/refine.h"
#include "tymbal/modes/buckling.h"
#include "tymbal/modes/film_top.h"
#include "tymbal/modes/labels.h"

#include "../base/plain.h"
#include "bending_band.h"
#include "convergence.h"
#include "cut_film.h"
#include "grid_ladder.h"
#include "nearest.h"
#include "order.h"
#include "partners.h"
#include "shape_raster.h"
#include "solve_memory.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <future>
#include <numeric>
#include <string>

namespace tymbal {

namespace {

using constants::pi;
constexpr int most_unknowns = 150'000;
constexpr int most_ragged =
    20'000;  // where fronts meet in many corners: their scatter falls slowly, more unknowns hardly help
// Extra modes keep the last wanted ones from changing places with modes that were not asked for.
constexpr int spare_modes = 2;
// An etch front wants five grids for the scatter between them; with an error of one per cent, three tell enough.
constexpr double rough = 1e-2;

/// @throws NoAnswer for what the etch has left in pieces
void require_one_region(const Outline& outline) {
    const Released* released = std::get_if<Released>(&outline);
    if (released == nullptr) return;
    const std::vector<Loop> all = loops(released->front);
    const auto regions = std::count_if(all.begin(), all.end(), [](const Loop& l) { return l.area > 0.0; });
    if (regions > 1)
        throw NoAnswer("the etch fronts have not met: " + std::to_string(regions) +
                       " separate regions hang free; `tymbal release` says from which undercut they are one");
}

/// A compressed film is judged before it is solved. @throws NoAnswer when it has buckled
void judge_compression(const ModeProblem& problem, const GridLadder& grids, Warnings& out) {
    if (!(problem.film.stress < 0.0)) return;
    const CriticalStress critical = critical_stress(problem, grids.base_x, grids.base_y);
    const std::string limit = stress_with_error(critical.pascal, critical.error);
    const std::string is = stress_words(problem.film.stress);
    if (problem.film.stress <= critical.pascal)
        throw UnstableFilm("the flat film is not stable: it buckles at a stress of " + limit + " (grids alone), and " +
                           is +
                           " is beyond; bring film.stress above that, make the outline smaller or the film thicker");
    if (problem.film.stress <= (1.0 - 1e-3) * critical.on_grid)
        throw NoAnswer("the film is compressed too close to buckling for these grids: " + is + ", and it buckles at " +
                       limit + "; bring film.stress further away from that");
    out.push_back({"near-buckling", "the film is compressed: " + is + ", and it buckles at " + limit +
                                        "; near that its frequencies follow the least change of stress or "
                                        "temperature, and a film that is not quite flat bends instead"});
}

/// @throws NoAnswer where corrections outweigh what they correct
std::vector<double> frequencies_of(const Level& level, int count) {
    std::vector<double> f;
    for (Eigen::Index k = 0; k < count; ++k) {
        const double square = level.corrected(k);
        if (!(square > 0.0))
            throw NoAnswer("mode " + std::to_string(k + 1) +
                           " has no frequency: the corrections for bending at rim and edges outweigh its tension; use "
                           "a thinner film, wider parts or more film.stress" +
                           (k > 0 ? ", or ask for fewer modes" : ""));
        f.push_back(std::sqrt(square) / (2.0 * pi));
    }
    return f;
}

/// Parts of a mode's elastic energy and its mass over the square of its peak: smooth in the grid spacing.
struct Shares {
    double mass = 0.0;
    double mass_doubt = 0.0;  ///< what is not told by other grids
    BendingParts bending;
};

Shares shares(const Level& level, Eigen::Index k) {
    const Vector w = level.shapes.col(k);
    const double top = film_top(level, w), all = level.corrected(k);
    const EdgeLayer& layer = level.layers[static_cast<std::size_t>(k)];
    const BendingParts bending{level.interior[k] / all, 0.5 * layer.energy / all, 0.5 * layer.doubtful / all};
    const double mass = 1.0 / (top * top);
    if (!level.holes_resolved) return {mass, 0.0, bending};
    // The layer takes its thickness from a strip between clamped sides and twice that from a square, nothing from a pad
    // on tethers. What is read off between a free edge's nodes errs by a few per cent of what the outer one overshoots.
    constexpr double of_overshoot = 0.05;
    const double beyond = 1.0 / w.cwiseAbs2().maxCoeff();
    return {(1.0 - bending.edge) * mass, bending.edge * mass + of_overshoot * std::abs(mass - beyond), bending};
}

/// Second-order limit of two grids, unless the shapes of a pair have changed roles between them.
double limit(double coarse, double fine, double ratio) {
    const double step = (fine - coarse) / (ratio * ratio - 1.0);
    return std::abs(step) < 0.2 * std::abs(fine) ? fine + step : fine;
}

ModeIntegrals integrals(const Level& level, Eigen::Index k, double top) {
    const Vector w = level.shapes.col(k) / top;
    const Vector momentum = level.mass.cwiseProduct(w);
    ModeIntegrals out;
    out.mass = w.dot(momentum);
    out.net_mass = momentum.sum();
    return out;
}

std::vector<Shares> all_shares(const Level& level, int count) {
    std::vector<Shares> all;
    for (Eigen::Index k = 0; k < count; ++k) all.push_back(shares(level, k));
    return all;
}

/// What the two finest grids say of the modes, in the order of the modes.
struct LastTwo {
    std::vector<Shares> middle, fine;
};

/// Brings everything into the order of the limits: grids keep the order of the coarsest one until then.
void sort_by_limit(ModeSet& set, std::vector<Extrapolated>& limits, LastTwo& last) {
    std::vector<Eigen::Index> order(limits.size());
    std::iota(order.begin(), order.end(), Eigen::Index{0});
    const auto limit_of = [&](Eigen::Index k) { return limits[static_cast<std::size_t>(k)].value; };
    std::stable_sort(order.begin(), order.end(),
                     [&](Eigen::Index a, Eigen::Index b) { return limit_of(a) < limit_of(b); });
    const auto sorted = [&](const auto& list) {
        auto out = list;
        for (std::size_t k = 0; k < order.size(); ++k) out[k] = list[static_cast<std::size_t>(order[k])];
        return out;
    };
    reorder(set.coarse, order);
    reorder(set.fine, order);
    limits = sorted(limits);
    last = {sorted(last.middle), sorted(last.fine)};
    for (auto& row : set.frequencies) row = sorted(row);
}

/// Spacing of the finest grid over the thickness of the clamped layer; 0 unless holes are on the grid.
double layers_in_cell(const Level& fine, double spacing) {
    const double rim = fine.holes_resolved ? rim_tension(fine.tension) : 0.0;
    return rim > 0.0 ? spacing / std::sqrt(fine.map.rim_bending / rim) : 0.0;
}

/// Mass and energies go with the reported frequency, the limit of the grids, not with the finest one.
void add_energies(const ModeSet& set, const Shares& before, const Shares& here, Mode& mode) {
    const double ratio = set.spacing[set.spacing.size() - 2] / set.spacing.back();
    const BendingParts value{limit(before.bending.interior, here.bending.interior, ratio),
                             limit(before.bending.edge, here.bending.edge, ratio), here.bending.doubtful};
    const BendingBand band =
        bending_band(value, {before.bending, here.bending, ratio, layers_in_cell(set.fine, set.spacing.back())});
    ModeIntegrals& out = mode.integrals;
    out.mass = limit(before.mass, here.mass, ratio);
    out.mass_error = here.mass_doubt + std::abs(here.mass - before.mass) + std::abs(out.mass - here.mass);
    out.stiffness = std::pow(2.0 * pi * mode.frequency_hz, 2) * out.mass;
    out.bending_interior = value.interior * out.stiffness;
    out.bending_edge = value.edge * out.stiffness;
    out.bending_low = band.low * out.stiffness;
    out.bending_high = band.high * out.stiffness;
    out.bending_rough = band.rough;
}

std::vector<Mode> describe(const ModeSet& set, const ModeProblem& problem, const std::vector<Extrapolated>& limits,
                           const LastTwo& last) {
    const Level& fine = set.fine;
    const auto labels = label_modes(problem.outline, fine.grid, fine.mass, fine.shapes,
                                    fine.holes_resolved ? problem.effort.cores() : 1);
    const std::vector<bool> open = open_points(problem.outline, fine);
    std::vector<Mode> modes;
    for (int k = 0; k < problem.count; ++k) {
        const auto n = static_cast<std::size_t>(k);
        const double top = film_top(fine, fine.shapes.col(k));
        Mode mode;
        mode.index = mode.number = k + 1;
        mode.label = labels[n];
        mode.frequency_hz = limits[n].value;
        const double corner = corner_error(
            problem.outline, limits[n], {fine.shift, set.spacing.back(), 0.5 * fine.layers[n].energy / fine.values[k]});
        mode.discretisation_error_hz = limits[n].error + (fine.layers[n].model_error + corner) * limits[n].value;
        mode.integrals = integrals(fine, k, top);
        add_energies(set, last.middle[n], last.fine[n], mode);
        mode.shape = shape_raster(fine.grid, fine.shapes.col(k), top, open);
        modes.push_back(std::move(mode));
    }
    name_partners(modes);
    return modes;
}

double worst_error(const std::vector<Extrapolated>& limits, int count) {
    double worst = 0.0;
    for (int k = 0; k < count; ++k) {
        const Extrapolated& e = limits[static_cast<std::size_t>(k)];
        worst = std::max(worst, e.error / e.value);
    }
    return worst;
}

void warn(ModeSet& set, const ModeProblem& problem, double grid_error) {
    if (set.fine.loose_area > 0.0)
        set.warnings.push_back({"loose-film", "openings cut " + plain(1e12 * set.fine.loose_area, 3) +
                                                  " um^2 of film off from the rim; it is left out"});
    if (grid_error > problem.accuracy)
        set.warnings.push_back(
            {"accuracy-not-reached", "the grids reach a relative error of " + plain(grid_error, 2) + " at " +
                                         std::to_string(set.fine.grid.nodes.size()) +
                                         " unknowns, above the accuracy asked for; the error of each mode is given"});
    double model = 0.0;
    for (int k = 0; k < problem.count; ++k)
        model = std::max(model, set.fine.layers[static_cast<std::size_t>(k)].model_error);
    if (model > problem.accuracy)
        set.warnings.push_back({"edge-layer-series",
                                "the bending layer at the rim is neither thin enough for its series "
                                "nor wide enough to be resolved; it adds up to " +
                                    plain(model, 2) + " relative error, included in the error of each mode"});
}

}  // namespace

ModeSet find_modes(const ModeProblem& problem) {
    require_one_region(problem.outline);
    if (std::holds_alternative<Strip>(problem.outline) || cut_film_served(problem)) return cut_film_modes(problem);
    if (problem.near_hz > 0.0) return nearest_of_lowest(problem);
    ModeProblem padded = problem;
    padded.count += spare_modes;
    ModeSet set;
    const bool open = !problem.film.openings.empty();
    const GridLadder grids = choose_grids(padded);
    set.rim = grids.rim;
    const Convergence known = convergence(problem.outline, problem.film, set.rim);
    const bool brief = problem.brief && !open && std::holds_alternative<Rectangle>(problem.outline);
    const bool few = brief || (problem.accuracy >= rough && std::holds_alternative<Released>(problem.outline));
    const std::size_t sure = few ? 2 : known.least_grids - 1;
    require_affordable(padded, grids, sure);
    if (open) require_memory(padded, grids, sure);
    if (!open) judge_compression(problem, grids, set.warnings);
    std::vector<Extrapolated> limits;
    LastTwo last;
    double error = 1.0;  // before there are enough grids
    // The first few grids are always needed: the finest of them is solved beside the others.
    const auto solve = [&](std::size_t g) {
        const auto cells = grids.cells(g);
        return solve_level(padded, cells[0], cells[1], set.rim);
    };
    const int most = std::holds_alternative<Released>(problem.outline) ? most_ragged : most_unknowns;
    auto finest = std::async(problem.own_thread ? std::launch::async : std::launch::deferred, solve, sure);
    for (std::size_t g = 0; g < GridLadder::most; ++g) {
        if (g > sure && grids.all_cells(g) > most) break;
        Level level = g == sure ? finest.get() : solve(g);
        if (g > 0) reorder(level, same_shapes(set.fine, level));
        set.frequencies.push_back(frequencies_of(level, padded.count));
        set.spacing.push_back(level.grid.dx);
        last = {std::move(last.fine), all_shares(level, padded.count)};
        set.peak_before = set.fine.peak;
        set.fine = std::move(level);
        if (g == 0) set.coarse = set.fine;
        if (g >= sure) {
            limits = extrapolate(set.frequencies, set.spacing, known.expansion);
            error = worst_error(limits, problem.count);
        }
        if (problem.effort.progress)
            problem.effort.progress({SolveStage::modes, set.fine.grid.nodes.size(), static_cast<int>(g) + 1, error});
        if (g >= sure && (error <= problem.accuracy || brief)) break;
    }
    sort_by_limit(set, limits, last);
    set.modes = describe(set, problem, limits, last);
    set.sensitivities = sensitivities(set.coarse, problem, set.rim);
    set.unknowns = set.fine.grid.nodes.size();
    warn(set, problem, error);
    warn_of_bending(set);
    return set;
}

}  // namespace tymbal
