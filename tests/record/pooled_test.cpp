#include "tymbal/record/pooled.h"

#include "tymbal/record/student_t.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace tymbal;

TEST_SUITE("reference") {
    // Percentage points of Student's t as every table has them, e.g. NIST/SEMATECH e-Handbook of Statistical Methods,
    // 1.3.6.7.2, to its three decimals (from memory).
    TEST_CASE("Student's t is that of the published table") {
        struct Row {
            double upper, degrees, t;
        };
        for (const Row row : {Row{0.975, 1, 12.706}, Row{0.975, 2, 4.303}, Row{0.975, 5, 2.571}, Row{0.975, 10, 2.228},
                              Row{0.975, 30, 2.042}, Row{0.995, 3, 5.841}, Row{0.90, 4, 1.533}, Row{0.95, 100, 1.660},
                              Row{0.999, 1, 318.309}}) {
            CAPTURE(row.upper);
            CAPTURE(row.degrees);
            CHECK(std::abs(student_half_width(2.0 * row.upper - 1.0, row.degrees) - row.t) < 6e-4);
        }
    }

    TEST_CASE("Student's t of one degree is Cauchy's law, of many the normal law") {
        const double pi = std::acos(-1.0);
        CHECK(std::abs(student_within(1.0, 1) - 0.5) < 1e-12);
        CHECK(std::abs(one_sigma_factor(1) - std::tan(0.5 * pi * std::erf(std::sqrt(0.5)))) < 1e-9);
        CHECK(std::abs(one_sigma_factor(1e6) - 1.0) < 1e-5);
    }

    // Batches of three, NIST/SEMATECH e-Handbook, one-way random effects (from memory; sums of squares worked again by
    // hand: 147.74 between at 4 degrees, 18.0 within at 10): components 1.80 within and (36.93 - 1.80)/3 = 11.71
    // between.
    TEST_CASE("variance within and between batches is that of the published example") {
        const Pooled p =
            pool({{{74}, {76}, {75}}, {{68}, {71}, {72}}, {{75}, {77}, {77}}, {{72}, {74}, {73}}, {{79}, {81}, {79}}});
        CHECK(std::abs(p.within * p.within - 1.80) < 0.005);
        CHECK(std::abs(p.between * p.between - 11.71) < 0.005);
        CHECK(std::abs(p.mean - 74.8667) < 1e-3);
        // Equal batches: the classic interval of the batch means, sqrt(36.93/15) times Student's factor of 4 degrees.
        CHECK(std::abs(p.mean_std / one_sigma_factor(4) - std::sqrt(36.933 / 15.0)) < 1e-3);
    }
}

TEST_SUITE("unit") {
    TEST_CASE("a badly measured chip hardly moves the mean, one that disagrees beyond its error shows scatter") {
        const Pooled even = pool({{{1.00, 0.01}}, {{1.01, 0.01}}, {{3.00, 5.00}}});
        CHECK(std::abs(even.mean - 1.005) < 1e-3);
        CHECK(even.between == 0.0);
        const Pooled apart = pool({{{1.0, 0.01}}, {{2.0, 0.01}}, {{3.0, 0.01}}});
        CHECK(std::abs(apart.between - 1.0) < 1e-3);
    }

    TEST_CASE("equal values without deviations have their value, and no scatter is known") {
        for (const double value : {2.0, 1e9, 1.7e-8}) {
            const Pooled p = pool({{{value}}, {{value}}, {{value}, {value}, {value}}});
            CHECK(std::abs(p.mean / value - 1.0) < 1e-14);
            CHECK(p.next_std == 0.0);
            CHECK_FALSE(p.scatter_known());
        }
    }

    TEST_CASE("a deviation that is not stated is no exact value") {
        const Pooled p = pool({{{1.00}}, {{1.05, 0.1}}, {{1.02, 0.1}}});
        const Pooled stated = pool({{{1.00, 0.1}}, {{1.05, 0.1}}, {{1.02, 0.1}}});
        CHECK(std::abs(p.mean - 3.07 / 3.0) < 1e-12);
        CHECK(p.next_std == stated.next_std);
        CHECK(p.next_std > 0.05);
    }

    TEST_CASE("what values share is not averaged away") {
        std::vector<PooledValue> sixteen(16, PooledValue{1.0, std::sqrt(2.0), 1.0, 7});
        const double one_source = chip_mean_variance({sixteen});
        CHECK(std::abs(one_source - (1.0 + 1.0 / 16.0)) < 1e-12);
        CHECK(chip_mean_variance({sixteen}, 4.0) > 0.9);
        for (std::size_t k = 0; k < sixteen.size(); ++k) sixteen[k].source = static_cast<std::int64_t>(k);
        CHECK(std::abs(chip_mean_variance({sixteen}) - 2.0 / 16.0) < 1e-12);
    }

    TEST_CASE("one chip takes the scatter that it is given, and says when it has none") {
        const Pooled alone = pool({{{1.0, 0.1}, {1.2, 0.1}}});
        CHECK(alone.degrees == 0);
        CHECK_FALSE(alone.scatter_given);
        const Pooled given = pool({{{1.0, 0.1}, {1.2, 0.1}}}, 0.5);
        CHECK(given.scatter_given);
        CHECK(std::abs(given.next_std - std::sqrt(0.01 + 0.5)) < 1e-12);
    }

    TEST_CASE("more chips and better chips narrow what is expected of the next one") {
        const Pooled p = pool({{{1.0, 0.3}}, {{2.0, 0.3}}, {{3.0, 0.3}}});
        const double variance = 0.09, now = next_with(p, variance, 0);
        CHECK(std::abs(now / p.next_std - 1.0) < 1e-9);
        CHECK(next_with(p, variance, 1) < now);
        CHECK(next_with(p, variance / 4.0, 0) < now);
    }
}
