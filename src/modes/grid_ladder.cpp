#include "grid_ladder.h"

#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"
#include "tymbal/geometry/front.h"

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

namespace tymbal {

namespace {

using constants::pi;
constexpr int most_unavoidable = 300'000;  // on the finest of the first grids
constexpr double least_cells = 20.0;
constexpr double least_ragged_cells = 40.0;  // fewer do not see that fronts make a rim ragged
constexpr double cells_per_half_wave =
    5.0;  // on the coarsest grid; six cost half as much again for errors that were small already
// On rectangles with a hole field, whose edge scatters the grids more than their spacing shows.
constexpr double rough = 1e-2;  // for an accuracy of one per cent
constexpr double cells_per_half_wave_rough = 3.0;
constexpr double least_cells_holed = 16.0;
constexpr double cells_per_half_wave_holed = 4.0;
// Resolved holes: across the narrowest hole or ligament on the coarsest grid. Six leave 3e-3 in the frequency of a film
// with one large hole on that grid and 1e-4 after three; tests/modes.
constexpr double cells_per_opening = 6.0;
constexpr double least_cells_per_opening = 3.0;
constexpr double most_open = 1'600'000;      // unknowns on the third grid
constexpr double most_resolved = 4'500'000;  // beyond which a laptop's memory ends
constexpr double coarsest_layer = 0.65;      // cells to the bending layer on the coarsest grid where it is resolved
// Grids as halves of the base.
constexpr std::array<int, GridLadder::most> halves{2, 3, 4, 5, 6, 8, 12, 16, 24};

/// Up to the next even number. What rounding alone lifts above one stays there, or machines would take other grids.
int even(double cells) {
    constexpr double rounding = 1e-9;
    return 2 * static_cast<int>(std::ceil(0.5 * cells * (1.0 - rounding)));
}

double narrowest(const Outline& outline, const Box& box) {
    const double side = std::min(box.high.x - box.low.x, box.high.y - box.low.y);
    if (const Released* released = std::get_if<Released>(&outline)) {
        double least = side * least_cells / least_ragged_cells;
        for (const Loop& loop : loops(released->front))  // oxide that still stands: ten cells across a pillar
            if (loop.area < 0.0) least = std::min(least, 2.0 * std::sqrt(-loop.area));
        return least;
    }
    if (const Ring* ring = std::get_if<Ring>(&outline))
        return std::min(side, 1.5 * (ring->outer_diameter.si() - ring->inner_diameter.si()));
    return side;
}

/// Most half-waves along x and y among the first `count` modes of an ideal rectangular membrane.
std::array<int, 2> half_waves(double width, double height, int count) {
    std::vector<std::array<double, 3>> modes;  // frequency squared, m, n
    for (int m = 1; m <= count; ++m)
        for (int n = 1; m * n <= count; ++n)
            modes.push_back({m * m / (width * width) + n * n / (height * height), 1.0 * m, 1.0 * n});
    std::sort(modes.begin(), modes.end());
    std::array<int, 2> most{1, 1};
    for (std::size_t k = 0; k < static_cast<std::size_t>(count); ++k)
        most = {std::max(most[0], static_cast<int>(modes[k][1])), std::max(most[1], static_cast<int>(modes[k][2]))};
    return most;
}

/// Cells per metre that holes and the film between them need on the coarsest grid: fewer where the third grid would be
/// beyond a laptop.
double open_cells(const ModeProblem& problem, double outline_area) {
    const double wanted = cells_per_opening / problem.film.narrowest;
    const double affordable = std::sqrt(most_open / outline_area) / (0.5 * halves[2]);
    return std::max(std::min(wanted, affordable), least_cells_per_opening / problem.film.narrowest);
}

/// Coarsest grid: five cells to the shortest half-wave wanted, square cells except on rectangles, and at least
/// `layer_cells` cells per metre where the bending layer is to be resolved.
std::array<int, 2> coarsest_cells(const ModeProblem& problem, double layer_cells) {
    const Boundary rim = boundary(problem.outline);
    const Box box = bounding_box(rim);
    const double width = box.high.x - box.low.x, height = box.high.y - box.low.y;
    if (!problem.film.openings.empty()) {
        const double waves = std::sqrt(4.0 * problem.count / (pi * area(rim)));
        const double per_metre = std::max({cells_per_half_wave * waves, open_cells(problem, area(rim)),
                                           least_cells / narrowest(problem.outline, box)});
        return {even(width * per_metre), even(height * per_metre)};
    }
    if (std::holds_alternative<Rectangle>(problem.outline)) {
        const auto waves = half_waves(width, height, problem.count);
        const double least = problem.film.cell ? least_cells_holed : least_cells;
        const double per_wave = problem.accuracy >= rough ? cells_per_half_wave_rough
                                : problem.film.cell       ? cells_per_half_wave_holed
                                                          : cells_per_half_wave;
        return {even(std::max({least, per_wave * waves[0], layer_cells * width})),
                even(std::max({least, per_wave * waves[1], layer_cells * height}))};
    }
    // Weyl: the N-th mode has about sqrt(4 pi N / area) as wave number.
    const double waves_per_metre = std::sqrt(4.0 * problem.count / (constants::pi * area(rim)));
    const double cells_per_metre =
        std::max({cells_per_half_wave * waves_per_metre, layer_cells, least_cells / narrowest(problem.outline, box)});
    // Multiples of four: a re-entrant corner at the middle of the box then lies on a line of every grid of the ladder.
    return {2 * even(0.5 * width * cells_per_metre), 2 * even(0.5 * height * cells_per_metre)};
}

double plain_layer(const PaintedFilm& film) {
    if (film.stress <= 0.0) return 0.0;
    return std::sqrt(film.bending() / (film.stress * film.thickness));
}

double sharpest_curvature(const Boundary& rim) {
    double most = 0.0;
    for (const Edge& e : rim)
        if (e.radius > 0.0) most = std::max(most, 1.0 / e.radius);
    return most;
}

/// The thin-layer series when it is good enough for the highest mode, the full problem otherwise.
RimTreatment choose_rim(const ModeProblem& problem) {
    const double delta = plain_layer(problem.film);
    if (delta == 0.0) return RimTreatment::resolved;
    const Boundary rim = boundary(problem.outline);
    const double wave_number = std::sqrt(4.0 * pi * problem.count / area(rim));
    const double k_delta = 1.15 * wave_number * delta;  // Weyl's mean lies a little low for clamped rims
    const double first = delta * perimeter(rim) / (2.0 * area(rim));
    const double bent = first * std::pow(delta * sharpest_curvature(rim), 3);
    const bool series_good = layer_model_error(k_delta, first * k_delta * k_delta, bent) < 0.3 * problem.accuracy;
    const double cells = narrowest(problem.outline, bounding_box(rim)) / delta;
    const bool affordable = cells < 200.0;
    return series_good || !affordable ? RimTreatment::thin_layer : RimTreatment::resolved;
}

}  // namespace

std::array<int, 2> GridLadder::cells(std::size_t g) const {
    return {base_x / 2 * halves[g], base_y / 2 * halves[g]};
}

double GridLadder::all_cells(std::size_t g) const {
    return 0.25 * halves[g] * halves[g] * base_x * base_y;
}

GridLadder choose_grids(const ModeProblem& problem) {
    GridLadder grids;
    if (problem.film.openings.empty()) grids.rim = choose_rim(problem);
    const double layer = plain_layer(problem.film);
    const auto base =
        coarsest_cells(problem, grids.rim == RimTreatment::resolved && layer > 0.0 ? coarsest_layer / layer : 0.0);
    grids.base_x = base[0];
    grids.base_y = base[1];
    return grids;
}

void require_affordable(const ModeProblem& problem, const GridLadder& grids, std::size_t finest) {
    const double most = problem.film.openings.empty() ? most_unavoidable : most_resolved;
    const Boundary rim = boundary(problem.outline);
    const Box box = bounding_box(rim);
    const double filled = area(rim) / ((box.high.x - box.low.x) * (box.high.y - box.low.y));
    const double unknowns = grids.all_cells(finest) * filled;
    if (unknowns > most)
        throw NoAnswer(
            "the narrowest part of the outline (or of what stands in it), over its whole extent, needs some " +
            std::to_string(static_cast<long>(unknowns)) + " unknowns, more than " +
            std::to_string(static_cast<long>(most)) +
            "; use a less slender outline, fewer modes, or wider openings and film between them");
}

}  // namespace tymbal
