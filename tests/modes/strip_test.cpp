// Strings and ribbons: clamped at two ends, free at their long sides.
#include "support/approx.h"
#include "support/ribbon.h"

#include "tymbal/modes/find_modes.h"
#include "tymbal/modes/whereabouts.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

using namespace tymbal;

namespace {

constexpr double pi = constants::pi;

struct Ribbon : sample::Ribbon {
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
    TEST_CASE("a spot in a string's middle meets the stiffness of a string pulled there") {
        // w(x) = F x< (L - x>)/(N L); two places of a spot of radius r lie r/sqrt(pi) apart in the mean [derived].
        const Ribbon ribbon;
        ModeProblem problem = ribbon.problem(1);
        const double radius = 15e-6, length = ribbon.length * (1.0 - 2.0 * ribbon.layer());
        problem.spot = PushingSpot{{}, radius};
        const CutFilmStress found = find_modes(problem).cut_stress.value();
        const double string = (length / 4.0 - radius / (2.0 * std::sqrt(pi))) / ribbon.force();
        CHECK(found.spot == sample::Approx(string).epsilon(2e-3));
        CHECK(std::abs(found.spot - string) < found.spot_error + 1e-3 * string);
        CHECK(found.spot_error < 1e-2 * string);
        problem.spot->centre = {0.0, 1e-3};
        CHECK(find_modes(problem).cut_stress->spot == 0.0);
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
