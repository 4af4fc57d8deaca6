// The two treatments of the clamped rim, where both are good: they share nothing but the tension operator.
#include "tymbal/modes/find_modes.h"

#include "support/films.h"
#include "tymbal/grid/refine.h"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

using namespace tymbal;

namespace {

const Outline l_shape = Polygon{{{0, 0}, {2, 0}, {2, 1}, {1, 1}, {1, 2}, {0, 2}}};

/// Limits of omega from grids that resolve tension, bending and the slope at the rim in full.
std::vector<Extrapolated> in_full(const ModeProblem& problem, const Expansion& expansion) {
    std::vector<std::vector<double>> figures;
    std::vector<double> spacing;
    for (const int cells : {80, 100, 120, 150, 180}) {
        const Level level = solve_level(problem, cells, cells, RimTreatment::resolved);
        figures.push_back({});
        for (Eigen::Index k = 0; k < problem.count; ++k) figures.back().push_back(std::sqrt(level.values[k]));
        spacing.push_back(1.0 / cells);
    }
    return extrapolate(figures, spacing, expansion);
}

void agree(const Outline& outline, double delta, const Expansion& expansion) {
    const ModeProblem problem{outline, simple::film(1.0, delta * delta), 3, 3e-3};
    const ModeSet series = find_modes(problem);
    REQUIRE(series.rim == RimTreatment::thin_layer);
    const auto full = in_full(problem, expansion);
    for (std::size_t k = 0; k < 3; ++k) {
        const double omega = 2.0 * std::numbers::pi * series.modes[k].frequency_hz;
        const double bar = 2.0 * std::numbers::pi * series.modes[k].discretisation_error_hz;
        CAPTURE(k);
        CAPTURE(omega / full[k].value - 1.0);
        CAPTURE(bar / omega);
        CHECK(std::abs(omega - full[k].value) <= bar + full[k].error);
        CHECK(bar + full[k].error < 5e-3 * omega);  // the comparison says something
    }
}

}  // namespace

TEST_SUITE("reference") {
    TEST_CASE("layer series and full solution agree on a square, delta/L = 0.01 and 0.02") {
        agree(simple::rectangle(1, 1), 0.01, {2.0, 4.0, 0.0});
        agree(simple::rectangle(1, 1), 0.02, {2.0, 4.0, 0.0});
    }
    TEST_CASE("layer series and full solution agree on a disc, delta/2R = 0.01 and 0.02") {
        agree(simple::disc(1), 0.01, {2.0, 3.0, 0.01});
        agree(simple::disc(1), 0.02, {2.0, 3.0, 0.01});
    }
    TEST_CASE("layer series and full solution agree on a ring, delta/gap = 0.03") {
        agree(simple::ring(1, 0.4), 0.01, {2.0, 3.0, 0.01});
    }
    TEST_CASE("layer series and full solution agree on a square with round corners") {
        const Outline rounded = Rectangle{simple::length(1), simple::length(1), Length::from_si(0.2)};
        agree(rounded, 0.01, {2.0, 3.0, 0.01});
    }
    TEST_CASE("layer series and full solution agree on an oblique pentagon") {
        agree(Polygon{{{0, 0}, {0.9, 0.2}, {1.1, 0.8}, {0.5, 1.2}, {-0.1, 0.7}}}, 0.012, {2.0, 3.0, 0.01});
    }
    TEST_CASE("layer series and full solution agree on an L, re-entrant corner included") {
        // The corner's own error is counted (corner_error in modes/convergence.h); exponents of a clamped plate's
        // corner.
        agree(l_shape, 0.02, {1.089, 2.0, 0.25});
    }
}
