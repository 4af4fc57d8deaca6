#include "tymbal/film/thermal_stress.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <cmath>

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
        CHECK(stress.si() - 1e9 == sample::Approx(250e9 / 0.75 * 1e-6 * 50.0));  // formula by hand
    }

    TEST_CASE("far below the range of constant expansion the band reaches from no mismatch there to one film's whole") {
        // Nitride on silicon from 295 K to 4 K. Silicon contracts by 2.2e-4 in all (handbooks, from memory). If nitride
        // kept 2.3 ppm/K it would contract by 6.7e-4, and gain 250 GPa/0.75 of the difference: 149 MPa; if it faded
        // like silicon, nearly nothing. Both ends must lie within 1.5 standard deviations.
        const auto stress =
            stress_at(value<Stress>(1e9), 295.0, 4.0, value<Stress>(250e9), value<Ratio>(0.25),
                      value<ThermalExpansion>(2.3e-6, 0.7e-6), value<ThermalExpansion>(2.57e-6, 0.2e-6));
        CHECK(std::abs(stress.si() - 1.149e9) < 1.5 * stress.deviation_si());
        CHECK(std::abs(stress.si() - 1.0e9) < 1.5 * stress.deviation_si());
        CHECK(stress.deviation_si() < 0.3e9);
    }
}
