#include "grid/patch.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <array>
#include <cmath>

using namespace tymbal;

namespace {

/// What the weights make of x^p y^q about the patch's middle.
double applied(const PatchWeights& weights, const Patch& patch, Eigen::Index row, int p, int q) {
    double sum = 0.0;
    for (std::size_t k = 0; k < patch.size; ++k)
        sum +=
            weights(row, static_cast<Eigen::Index>(k)) * std::pow(patch.step[k][0], p) * std::pow(patch.step[k][1], q);
    return sum;
}

/// All nodes within two spacings to the right of a line, those beside it with little film.
Patch beside_an_edge(int first_column, double film_at_edge) {
    Patch patch;
    for (int j = -2; j <= 2; ++j)
        for (int i = first_column; i <= 2; ++i) {
            patch.step[patch.size] = {i, j};
            patch.film[patch.size++] = i == first_column ? film_at_edge : 1.0;
        }
    return patch;
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("a fitted patch differentiates what it fits exactly: cubics in the open, also beside an edge") {
        for (const double film : {1.0, 0.3, 1e-4, 0.0}) {
            for (const int first : {-2, -1}) {
                const Patch patch = beside_an_edge(first, film);
                const auto weights = patch_weights(patch, {}, PatchFit::cubic);
                REQUIRE(weights);
                for (int p = 0; p <= 3; ++p)
                    for (int q = 0; p + q <= 3; ++q) {
                        const std::array<double, 5> exact{p == 1 && q == 0 ? 1.0 : 0.0, p == 0 && q == 1 ? 1.0 : 0.0,
                                                          p == 2 && q == 0 ? 2.0 : 0.0, p == 0 && q == 2 ? 2.0 : 0.0,
                                                          p == 1 && q == 1 ? 1.0 : 0.0};
                        for (Eigen::Index d = 0; d < 5; ++d)
                            CHECK(applied(*weights, patch, d, p, q) ==
                                  sample::Approx(exact[static_cast<std::size_t>(d)]).epsilon(1e-7).scale(1.0));
                    }
            }
        }
    }

    TEST_CASE("too few columns for a cubic fall back to a parabola, two to nothing") {
        const Patch three = beside_an_edge(0, 1.0);
        const auto weights = patch_weights(three, {}, PatchFit::cubic);
        REQUIRE(weights);
        CHECK(applied(*weights, three, 2, 2, 0) == sample::Approx(2.0));
        CHECK(applied(*weights, three, 4, 1, 1) == sample::Approx(1.0));
        CHECK_FALSE(patch_weights(beside_an_edge(1, 1.0), {}, PatchFit::cubic));
    }
}
