// The references themselves against published and handbook values, before anything is measured with them.
#include "support/exact_modes.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace tymbal;

namespace {

exact::Film tensioned(double tension) {
    return {tension, 1.0, 1.0};
}

}  // namespace

TEST_SUITE("reference") {
    TEST_CASE("the clamped disc without tension has Leissa's frequency parameters") {
        // Leissa, Vibration of Plates, NASA SP-160 (1969), table 2.1: 10.2158, 21.26, 34.88, 39.771, 51.04, 60.82 (from
        // memory).
        const auto omega = exact::disc(tensioned(0.0), 1.0, 10);
        CHECK(omega[0] == sample::Approx(10.2158).epsilon(1e-5));
        CHECK(omega[1] == sample::Approx(21.26).epsilon(2e-4));
        CHECK(omega[2] == omega[1]);
        CHECK(omega[3] == sample::Approx(34.88).epsilon(2e-4));
        CHECK(omega[5] == sample::Approx(39.771).epsilon(1e-5));
        CHECK(omega[6] == sample::Approx(51.04).epsilon(4e-4));
        CHECK(omega[8] == sample::Approx(60.82).epsilon(4e-4));
    }

    TEST_CASE("the tensioned disc tends to the zeros of the Bessel functions, with the first two terms of its layer") {
        // Zeros: Abramowitz and Stegun, table 9.5. Series f/f_mem = 1 + d + (1 + j^2/2) d^2 [derived from Wah's
        // equation].
        const double zeros[] = {2.4048255577, 3.8317059702, 3.8317059702, 5.1356223018, 5.1356223018, 5.5200781103};
        const double d = 1e-4;
        const auto omega = exact::disc(tensioned(1.0 / (d * d)), 1.0, 6);
        for (std::size_t k = 0; k < 6; ++k)
            CHECK(omega[k] * d / zeros[k] - 1.0 ==
                  sample::Approx(d + (1.0 + 0.5 * zeros[k] * zeros[k]) * d * d).epsilon(1e-4));
    }

    TEST_CASE("the clamped square without tension has the converged plate values, below Leissa's printed bounds") {
        // Printed upper bounds 35.992, 73.413, 108.27, 131.64, 132.24: Leissa, J. Sound Vib. 31, 257 (1973), from
        // memory. The series' own limit was checked with 26 beams of each symmetry: 35.98519 73.39385 108.21651
        // 131.58078 132.20480.
        const double printed[] = {35.992, 73.413, 73.413, 108.27, 131.64, 132.25};
        const double converged[] = {35.98519, 73.39385, 73.39385, 108.21651, 131.58078, 132.20480};
        const auto omega = exact::rectangle(tensioned(0.0), 1.0, 1.0, 6, 20);
        for (std::size_t k = 0; k < 6; ++k) {
            CHECK(omega[k] <= printed[k]);
            CHECK(omega[k] == sample::Approx(printed[k]).epsilon(6e-4));
            CHECK(omega[k] == sample::Approx(converged[k]).epsilon(1e-6));
        }
    }

    TEST_CASE("the Ritz series of the tensioned square converges from above to six digits") {
        for (const double tension : {10.0, 100.0, 1e3, 1e4}) {
            const double few = exact::rectangle(tensioned(tension), 1, 1, 1, 6).front();
            const double more = exact::rectangle(tensioned(tension), 1, 1, 1, 12).front();
            const double most = exact::rectangle(tensioned(tension), 1, 1, 1, 20).front();
            CHECK(few >= more);
            CHECK(more >= most);
            CHECK(more / most - 1.0 < 2e-6);
        }
    }

    TEST_CASE("a long clamped strip vibrates like the tensioned beam across it") {
        // Clamped beam, first root of cos x cosh x = 1: 4.730040745 (Blevins, Formulas for Natural Frequency, from
        // memory).
        const double strip = exact::rectangle(tensioned(0.0), 1.0, 40.0, 1, 12).front();
        CHECK(strip == sample::Approx(4.730040745 * 4.730040745).epsilon(2e-3));
        CHECK(strip > 4.730040745 * 4.730040745);
    }

    TEST_CASE("the tensioned ring tends to the annular membrane") {
        // Zeros ka of the cross products for b/a = 0.5: 6.24606 (m = 0), 6.39316, 6.81384; 4.09769 for 0.25, 3.31394
        // for 0.1: Abramowitz and Stegun, table 9.7 (from memory) and own root finding.
        CHECK(exact::annulus_zero(0.5, 0, 1) == sample::Approx(6.24606).epsilon(1e-6));
        CHECK(exact::annulus_zero(0.5, 1, 1) == sample::Approx(6.39316).epsilon(1e-6));
        CHECK(exact::annulus_zero(0.5, 2, 1) == sample::Approx(6.81384).epsilon(1e-6));
        CHECK(exact::annulus_zero(0.25, 0, 1) == sample::Approx(4.09769).epsilon(2e-6));
        CHECK(exact::annulus_zero(0.1, 0, 1) == sample::Approx(3.31394).epsilon(2e-6));
        const double d = 1e-5;
        const auto omega = exact::ring(tensioned(1.0 / (d * d)), 1.0, 0.5, 3);
        // Both rims move inwards by d: (1 + 2 d/(a - b)) within the curvature of the ring, a few per cent of that.
        CHECK(omega[0] * d / exact::annulus_zero(0.5, 0, 1) - 1.0 == sample::Approx(4e-5).epsilon(0.05));
        CHECK(omega[1] * d / exact::annulus_zero(0.5, 1, 1) - 1.0 == sample::Approx(4e-5).epsilon(0.05));
    }

    TEST_CASE("the clamped ring without tension has the published plate value") {
        // Both edges clamped, b/a = 0.5, m = 0: omega a^2 sqrt(rho h/D) = 89.2 (Leissa, NASA SP-160, table 2.15, from
        // memory).
        CHECK(exact::ring(tensioned(0.0), 1.0, 0.5, 1).front() == sample::Approx(89.2).epsilon(1e-3));
    }
}
