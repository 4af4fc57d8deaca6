// Strings and ribbons: clamped at two ends, free at their long sides.
#include "support/approx.h"
#include "support/films.h"

#include "tymbal/base/constants.h"
#include "tymbal/geometry/strip.h"
#include "tymbal/modes/find_modes.h"
#include "tymbal/modes/whereabouts.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

using namespace tymbal;

namespace {

constexpr double pi = constants::pi, modulus = 250e9, poisson = 0.23, density = 3100.0;

struct Ribbon {
    double length = 300e-6, width = 3e-6, thickness = 100e-9, stress = 1e9;

    [[nodiscard]] ModeProblem problem(int count) const {
        ModeProblem p{Strip{plain::length(length), plain::length(width)}, plain::nitride(thickness, stress), count};
        for (const Figure& side : free_sides(std::get<Strip>(p.outline))) p.film.openings.push_back(side);
        p.film.narrowest = width;
        return p;
    }
    /// Release takes the stress across away: (1 - nu) of the deposited is left along.
    [[nodiscard]] double along() const { return (1.0 - poisson) * stress; }
    /// Clamp's layer over the length.
    [[nodiscard]] double layer() const {
        return std::sqrt(modulus * thickness * thickness / (12.0 * along())) / length;
    }
    /// A stiff string between clamps (Fletcher and Rossing, The Physics of Musical Instruments, section 2.18, from
    /// memory; expanded anew to second order in the layer).
    [[nodiscard]] double flexure(int n) const {
        const double e = layer();
        return n / (2.0 * length) * std::sqrt(along() / density) *
               (1.0 + 2.0 * e + (4.0 + 0.5 * n * n * pi * pi) * e * e);
    }
    [[nodiscard]] double flexure_bending(int n) const { return 2.0 * layer() + std::pow(n * pi * layer(), 2); }
    /// What Saint-Venant's torsion adds to the string's stress, for a section much wider than thick (Timoshenko and
    /// Goodier, Theory of Elasticity, 3rd ed., section 108, from memory).
    [[nodiscard]] double twist() const {
        return 4.0 * modulus / (2.0 * (1.0 + poisson)) * std::pow(thickness / width, 2);
    }
    [[nodiscard]] double torsion(int n) const { return n / (2.0 * length) * std::sqrt((along() + twist()) / density); }
};

const Mode& find(const ModeSet& set, const std::string& character) {
    const auto at =
        std::find_if(set.modes.begin(), set.modes.end(), [&](const Mode& m) { return m.character == character; });
    REQUIRE_MESSAGE(at != set.modes.end(), character);
    return *at;
}

double bending(const ModeSet& set, const Mode& mode) {
    return whereabouts(set, static_cast<std::size_t>(mode.index - 1), {}).bending_share;
}

}  // namespace

TEST_SUITE("reference") {
    TEST_CASE("a string's flexural modes and their bending share are those of a stiff string") {
        const Ribbon ribbon;
        const ModeSet set = find_modes(ribbon.problem(6));
        for (const int n : {1, 2, 3}) {
            CAPTURE(n);
            const Mode& mode = find(set, std::string("flexure ").append(std::to_string(n)));
            // The string knows no clamp across: there the ribbon keeps the deposited stress over half its width.
            CHECK(mode.frequency_hz == sample::Approx(ribbon.flexure(n)).epsilon(6e-4));
            CHECK(bending(set, mode) == sample::Approx(ribbon.flexure_bending(n)).epsilon(0.08));
        }
    }
    TEST_CASE("a ribbon's torsional modes are not missing: uniaxial stress and Saint-Venant's stiffness") {
        for (const Ribbon& ribbon : {Ribbon{}, Ribbon{300e-6, 1.5e-6, 200e-9, 0.5e9}}) {
            CAPTURE(ribbon.width);
            const ModeSet set = find_modes(ribbon.problem(14));
            for (const int n : {1, 2}) {
                CAPTURE(n);
                const Mode& mode = find(set, std::string("torsion ").append(std::to_string(n)));
                CHECK(mode.frequency_hz == sample::Approx(ribbon.torsion(n)).epsilon(1e-2));
                const double g = ribbon.twist() / ribbon.along();
                CHECK(bending(set, mode) == sample::Approx(g / (1.0 + g) + 2.0 * ribbon.layer()).epsilon(0.15));
            }
        }
    }
}

TEST_SUITE("invariant") {
    TEST_CASE("a strip's frequency falls with its length and hardly knows its width") {
        const Ribbon ribbon;
        const ModeSet set = find_modes(ribbon.problem(2));
        const Sensitivity& s = set.sensitivities.front();
        const double e = ribbon.layer();
        CHECK(s.width == sample::Approx(-2.0 - 4.0 * e).epsilon(5e-3));
        CHECK(std::abs(s.height) < 5e-3);
        CHECK(s.width + s.height == sample::Approx(s.scale).epsilon(5e-3));
    }
    TEST_CASE("every mode of a strip is labelled by its number alone") {
        const ModeSet set = find_modes(Ribbon{}.problem(3));
        for (const Mode& m : set.modes) CHECK(m.label == std::string("#").append(std::to_string(m.number)));
    }
}
