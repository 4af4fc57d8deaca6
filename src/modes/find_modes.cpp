#include "tymbal/modes/find_modes.h"

#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"
#include "tymbal/grid/refine.h"
#include "tymbal/modes/labels.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

namespace tymbal {

namespace {

constexpr double pi = constants::pi;
constexpr int most_unknowns = 150'000;
constexpr double least_cells = 20.0;
// Extra modes keep the last wanted ones from changing places with modes that were not asked for.
constexpr int spare_modes = 2;
// Grids as halves of the base: 2/2, 3/2, 4/2, 6/2, ... so that every spacing is an exact multiple.
constexpr std::array<int, 8> halves{2, 3, 4, 6, 8, 12, 16, 24};

struct Base {
    int x = 0, y = 0;  ///< cells of the coarsest grid, even
};

int even(double cells) { return 2 * static_cast<int>(std::ceil(0.5 * cells)); }

double narrowest(const Outline& outline, const Box& box) {
    const double side = std::min(box.high.x - box.low.x, box.high.y - box.low.y);
    if (const Ring* ring = std::get_if<Ring>(&outline))
        return std::min(side, 1.5 * (ring->outer_diameter.si() - ring->inner_diameter.si()));
    return side;
}

/// Coarsest grid: about six cells to the shortest half-wave wanted, square cells except on long rectangles.
Base choose_base(const ModeProblem& problem, double layer_resolved) {
    const Boundary rim = boundary(problem.outline);
    const Box box = bounding_box(rim);
    const double width = box.high.x - box.low.x, height = box.high.y - box.low.y;
    // Weyl: the N-th mode has about sqrt(4 pi N / area) as wave number, so that many half-waves per metre times pi.
    const double half_waves = std::sqrt(4.0 * problem.count / (pi * area(rim)));
    const double fine = std::max(6.0 * half_waves, layer_resolved > 0.0 ? 0.8 / layer_resolved : 0.0);  // cells per metre
    if (std::holds_alternative<Rectangle>(problem.outline)) {
        const double aspect = std::max(width / height, height / width);
        const double along = 6.0 * std::min<double>(problem.count, 1.5 * std::sqrt(4.0 * aspect * problem.count / pi) + 1.0);
        const double across = std::max(least_cells, 6.0 * std::sqrt(4.0 * problem.count / (pi * aspect)));
        const double resolved = layer_resolved > 0.0 ? 0.8 / layer_resolved : 0.0;
        const double cells_long = std::max({least_cells, along, resolved * std::max(width, height)});
        const double cells_short = std::max(across, resolved * std::min(width, height));
        return width >= height ? Base{even(cells_long), even(cells_short)} : Base{even(cells_short), even(cells_long)};
    }
    const double spacing = std::min(1.0 / fine, narrowest(problem.outline, box) / least_cells);
    return {even(width / spacing), even(height / spacing)};
}

double plain_layer(const PaintedFilm& film) {
    if (film.stress <= 0.0) return 0.0;
    return std::sqrt(film.bending() / (film.stress * film.thickness));
}

/// The thin-layer series when it is good enough for the highest mode, the full problem otherwise.
RimTreatment choose_rim(const ModeProblem& problem) {
    const double delta = plain_layer(problem.film);
    if (delta == 0.0) return RimTreatment::resolved;
    const Boundary rim = boundary(problem.outline);
    const double wave_number = std::sqrt(4.0 * pi * problem.count / area(rim));
    const double k_delta = 1.15 * wave_number * delta;  // Weyl's mean lies a little low for clamped rims
    const double third = delta * perimeter(rim) / (2.0 * area(rim)) * k_delta * k_delta;
    const bool series_good = layer_model_error(k_delta, third) < 0.3 * problem.accuracy;
    const double cells = narrowest(problem.outline, bounding_box(rim)) / delta;
    const bool affordable = cells < 250.0;  // 0.8 cells a layer on the coarsest of three grids
    return series_good || !affordable ? RimTreatment::thin_layer : RimTreatment::resolved;
}

std::vector<double> frequencies_of(const Level& level, int count) {
    std::vector<double> f;
    for (Eigen::Index k = 0; k < count; ++k) f.push_back(std::sqrt(level.corrected(k)) / (2.0 * pi));
    return f;
}

/// Largest |w| between the nodes: the parabola through the highest node and its neighbours, along x and y.
double peak(const Grid& grid, const Vector& w) {
    Eigen::Index top = 0;
    w.cwiseAbs().maxCoeff(&top);
    const double sign = w[top] > 0.0 ? 1.0 : -1.0;
    const Node& node = grid.nodes[static_cast<std::size_t>(top)];
    double height = sign * w[top];
    for (std::size_t a = 0; a < 4; a += 2) {
        if (node.arms[a].cut() || node.arms[a + 1].cut()) continue;
        const double right = sign * w[node.arms[a].to], left = sign * w[node.arms[a + 1].to];
        const double bend = 2.0 * sign * w[top] - right - left;
        if (bend > 0.0) height += 0.125 * (right - left) * (right - left) / bend;
    }
    return sign * height;
}

ModeIntegrals integrals(const Level& level, Eigen::Index k, double top) {
    const Vector w = level.shapes.col(k) / top;
    const EdgeLayer& layer = level.layers[static_cast<std::size_t>(k)];
    const Vector momentum = level.mass.cwiseProduct(w);
    ModeIntegrals out;
    out.mass = w.dot(momentum);
    out.net_mass = momentum.sum();
    for (std::size_t n = 0; n < level.grid.nodes.size(); ++n) {
        const Point p = level.grid.place(level.grid.nodes[n]);
        const double m = momentum[static_cast<Eigen::Index>(n)];
        out.tilt.x += m * p.x;
        out.tilt.y += m * p.y;
    }
    out.area = w.cwiseProduct(w).dot(area_vector(level.grid));
    out.stiffness = level.corrected(k) * out.mass;
    out.bending_interior = w.dot(level.bend * w);
    out.bending_edge = 0.5 * layer.energy * out.mass;
    for (const RimTouch& touch : rim_touches(level.grid, w)) out.rim_slope += touch.slope2_ds;
    return out;
}

ShapeRaster raster(const Grid& grid, const Vector& w, double top) {
    ShapeRaster out{grid.columns, grid.rows, grid.x0, grid.y0, grid.dx, grid.dy,
                    std::vector<double>(grid.number.size(), 0.0)};
    for (std::size_t n = 0; n < grid.nodes.size(); ++n)
        out.w[static_cast<std::size_t>(grid.nodes[n].i + grid.columns * grid.nodes[n].j)] =
            w[static_cast<Eigen::Index>(n)] / top;
    return out;
}

std::vector<Mode> describe(const ModeSet& set, const ModeProblem& problem, const std::vector<Extrapolated>& limits) {
    const Level& fine = set.fine;
    const auto labels = label_modes(problem.outline, fine.grid, fine.mass, fine.shapes);
    std::vector<Mode> modes;
    for (int k = 0; k < problem.count; ++k) {
        const auto n = static_cast<std::size_t>(k);
        const double top = peak(fine.grid, fine.shapes.col(k));
        Mode mode;
        mode.index = k + 1;
        mode.label = labels[n];
        mode.frequency_hz = limits[n].value;
        mode.discretisation_error_hz = limits[n].error + fine.layers[n].model_error * limits[n].value;
        mode.integrals = integrals(fine, k, top);
        // The spring constant goes with the reported frequency, not with that of the finest grid.
        mode.integrals.stiffness = std::pow(2.0 * pi * mode.frequency_hz, 2) * mode.integrals.mass;
        mode.shape = raster(fine.grid, fine.shapes.col(k), top);
        modes.push_back(std::move(mode));
    }
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
    if (grid_error > problem.accuracy)
        set.warnings.push_back({"accuracy-not-reached", "the grids reach a relative error of " +
                                std::to_string(grid_error) + " at " + std::to_string(set.fine.grid.nodes.size()) +
                                " unknowns, above the accuracy asked for; the error of each mode is given"});
    double model = 0.0;
    for (int k = 0; k < problem.count; ++k) model = std::max(model, set.fine.layers[static_cast<std::size_t>(k)].model_error);
    if (model > problem.accuracy)
        set.warnings.push_back({"edge-layer-series", "the bending layer at the rim is neither thin enough for its series "
                                "nor wide enough to be resolved; it adds up to " + std::to_string(model) +
                                " relative error, included in the error of each mode"});
}

}  // namespace

ModeSet find_modes(const ModeProblem& problem) {
    ModeProblem padded = problem;
    padded.count += spare_modes;
    ModeSet set;
    set.rim = choose_rim(padded);
    const Base base = choose_base(padded, set.rim == RimTreatment::resolved ? plain_layer(problem.film) : 0.0);
    std::vector<Extrapolated> limits;
    double error = 0.0;
    for (std::size_t g = 0; g < halves.size(); ++g) {
        const int x = base.x / 2 * halves[g], y = base.y / 2 * halves[g];
        if (g >= 3 && static_cast<double>(x) * y > most_unknowns) break;
        Level level = solve_level(padded, x, y, set.rim);
        set.frequencies.push_back(frequencies_of(level, padded.count));
        set.spacing.push_back(level.grid.dx);
        set.fine = std::move(level);
        if (g == 0) set.coarse = set.fine;
        if (g < 2) continue;
        limits = extrapolate(set.frequencies, set.spacing);
        error = worst_error(limits, problem.count);
        if (error <= problem.accuracy) break;
    }
    set.modes = describe(set, problem, limits);
    for (Eigen::Index k = 0; k < problem.count; ++k)
        set.sensitivities.push_back(sensitivity(set.coarse, problem, set.rim, k));
    warn(set, problem, error);
    return set;
}

}  // namespace tymbal
