#include "tymbal/film/thermal_stress.h"

#include <doctest/doctest.h>

using namespace tymbal;

namespace {

template <class Q>
Sourced<Q> value(double v, double d = 0.0) {
    return {Q::from_si(v), Q::from_si(d), {"test", Origin::design}};
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("a film that expands more than its frame gains tension in the cold") {
        const auto stress = stress_at(value<Stress>(1e9), 295.0, 245.0, value<Stress>(250e9), value<Ratio>(0.25),
                                      value<ThermalExpansion>(3e-6), value<ThermalExpansion>(2e-6));
        CHECK(stress.si() - 1e9 == doctest::Approx(250e9 / 0.75 * 1e-6 * 50.0));  // formula by hand
    }

    TEST_CASE("far below the range of constant expansion the whole shift is in doubt") {
        const auto stress = stress_at(value<Stress>(1e9), 295.0, 4.0, value<Stress>(250e9), value<Ratio>(0.25),
                                      value<ThermalExpansion>(3e-6), value<ThermalExpansion>(2e-6));
        CHECK(stress.deviation_si() == doctest::Approx(stress.si() - 1e9));
    }
}
