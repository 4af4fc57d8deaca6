#include "tymbal/release/hole_sizes.h"

#include "tymbal/base/error.h"

#include "support/approx.h"

#include <doctest/doctest.h>

using namespace tymbal;

namespace {

Sourced<Length> length(double value, double deviation) {
    return {Length::from_si(value), Length::from_si(deviation), {"test", Origin::design}};
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("what to draw follows backwards from the released hole, edge by edge") {
        const Process process{length(0.1e-6, 0.03e-6), length(0.05e-6, 0.0), {}, {}};
        const HoleSizes sizes = hole_sizes(length(2e-6, 0.0), process, {0.02e-6, 0.0});
        CHECK(sizes.etched.width == sample::Approx(1.96e-6));   // 2 - 2 x 0.02, by hand
        CHECK(sizes.printed.width == sample::Approx(1.86e-6));  // 1.96 - 2 x 0.05
        CHECK(sizes.drawn.width == sample::Approx(1.66e-6));    // 1.86 - 2 x 0.1
        CHECK(sizes.drawn.deviation == sample::Approx(0.06e-6));
    }

    TEST_CASE("a hole that the process alone would open cannot be drawn") {
        const Process process{length(0.6e-6, 0.0), length(0.0, 0.0), {}, {}};
        CHECK_THROWS_AS((void)hole_sizes(length(1e-6, 0.0), process, {}), NoAnswer);
    }
}
