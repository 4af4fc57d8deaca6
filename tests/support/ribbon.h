// A strip clamped at two ends, as a problem of modes and as the string that it nearly is.
#pragma once

#include "films.h"

#include "tymbal/base/constants.h"
#include "tymbal/geometry/strip.h"
#include "tymbal/modes/find_modes.h"

#include <cmath>
#include <utility>
#include <variant>

namespace tymbal::sample {

struct Ribbon {
    double length = 300e-6, width = 3e-6, thickness = 100e-9, stress = 1e9;
    static constexpr double modulus = 250e9, poisson = 0.23, density = 3100.0;

    [[nodiscard]] ModeProblem problem(int count) const {
        ModeProblem p{Strip{simple::length(length), simple::length(width)}, simple::nitride(thickness, stress), count};
        for (const Figure& side : free_sides(std::get<Strip>(p.outline))) p.film.openings.push_back(side);
        p.film.narrowest = width;
        return p;
    }
    /// Release takes the stress across away: (1 - nu) of the deposited is left along.
    [[nodiscard]] double along() const { return (1.0 - poisson) * stress; }
    [[nodiscard]] double section() const { return width * thickness; }
    /// What pulls the string, N.
    [[nodiscard]] double force() const { return along() * section(); }
    /// Clamp's layer over the length.
    [[nodiscard]] double layer() const {
        return std::sqrt(modulus * thickness * thickness / (12.0 * along())) / length;
    }
};

}  // namespace tymbal::sample
