#include "support/sweep.h"

#include <doctest/doctest.h>

using namespace tymbal;

TEST_SUITE("slow") {
    TEST_CASE("reported errors hold in 95 of 100 modes of random plain films and are not much too large") {
        // Against exact solutions (support/exact_modes.h); a longer table: tests/bench/bench_sweep.
        const auto pairs = sweep::compare(sweep::cases(20260, 150));
        MESSAGE("covered ", 100.0 * sweep::covered_share(pairs), " %, median reported/actual ",
                sweep::ratio_quantile(pairs, 0.5), ", 95 %: ", sweep::ratio_quantile(pairs, 0.95));
        CHECK(pairs.size() == 900);
        CHECK(sweep::covered_share(pairs) >= 0.95);
        CHECK(sweep::ratio_quantile(pairs, 0.5) <= 5.0);
    }
}
