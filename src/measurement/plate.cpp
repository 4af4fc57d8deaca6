#include "tymbal/measurement/plate.h"

#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"
#include "tymbal/grid/eigenpairs.h"

#include "plate_grid.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

using constants::pi;

/// Cells along the two sides: enough for the shortest half-wave, nearly square.
std::array<int, 2> cells_for(const PlateProblem& plate, double per_half_wave) {
    const double k = std::sqrt(4.0 * pi * plate.count / (plate.width * plate.length));
    const auto even = [&](double side) {
        return 2 * std::max(6, static_cast<int>(std::ceil(0.5 * per_half_wave * k * side / pi)));
    };
    return {even(plate.width), even(plate.length)};
}

/// First-order shear and rotary inertia of a thick plate: omega^2 falls by (k H)^2/12 (1 + E'/(5/6 G)), E'/G about 2.8
/// for silicon. Source: Mindlin, J. Appl. Mech. 18, 31 (1951) (from memory, re-derived).
double shear_share(const PlateProblem& plate, double frequency, double thickness) {
    const double omega = 2.0 * pi * frequency;
    const double k2 = omega * std::sqrt(plate.areal_density / mean_stiffness(plate.stiffness));
    constexpr double modulus_over_shear = 2.8;
    return 0.5 * k2 * thickness * thickness / 12.0 * (1.0 + modulus_over_shear * 6.0 / 5.0);
}

}  // namespace

PlateStiffness plate_stiffness(const Solid& solid, double h, bool along_110) {
    const double scale = h * h * h / 12.0;
    if (solid.crystal) {
        const double c11 = solid.crystal->c11.si(), c12 = solid.crystal->c12.si(), c44 = solid.crystal->c44.si();
        const double q11 = c11 - c12 * c12 / c11, q12 = c12 - c12 * c12 / c11;
        if (!along_110) return {scale * q11, scale * q12, scale * q11, scale * c44};
        const double turned = 0.5 * (q11 + q12) + c44, across = 0.5 * (q11 + q12) - c44;
        return {scale * turned, scale * across, scale * turned, scale * 0.5 * (q11 - q12)};
    }
    if (!solid.youngs_modulus || !solid.poisson_ratio)
        throw NoAnswer("the material row '" + solid.row +
                       "' of the chip has no elastic constants; give it youngs_modulus and poisson_ratio, or name "
                       "another in chip.material");
    const double nu = solid.poisson_ratio->si();
    const double d = scale * solid.youngs_modulus->si() / (1.0 - nu * nu);
    return {d, nu * d, d, 0.5 * (1.0 - nu) * d};
}

double mean_stiffness(const PlateStiffness& s) {
    return (3.0 * s.d11 + 3.0 * s.d22 + 2.0 * s.d12 + 4.0 * s.d66) / 8.0;
}

double endless_mobility(const PlateStiffness& stiffness, double areal_density) {
    return 1.0 / (8.0 * std::sqrt(mean_stiffness(stiffness) * areal_density));
}

double mode_spacing_hz(const PlateProblem& plate) {
    return 2.0 * std::sqrt(mean_stiffness(plate.stiffness) / plate.areal_density) / (plate.width * plate.length);
}

std::vector<PlateMode> plate_modes(const PlateProblem& plate, double x, double y, double thickness) {
    const auto coarse_cells = cells_for(plate, 6.0);
    const PlateLevel coarse = solve_plate(plate, coarse_cells[0], coarse_cells[1]);
    const PlateLevel fine = solve_plate(plate, coarse_cells[0] * 3 / 2, coarse_cells[1] * 3 / 2);
    const Vector here = fine.at(x, y);
    std::vector<PlateMode> modes;
    for (Eigen::Index k = 0; k < fine.values.size(); ++k) {
        const double f1 = std::sqrt(coarse.values[k]) / (2.0 * pi), f2 = std::sqrt(fine.values[k]) / (2.0 * pi);
        const double step = (f2 - f1) / (2.25 - 1.0);
        const double frequency = f2 + step;
        modes.push_back(
            {frequency, 0.3 * std::abs(step), frequency * shear_share(plate, frequency, thickness), here[k]});
    }
    return modes;
}

double mobility(const std::vector<PlateMode>& modes, double frequency, double quality) {
    const double omega = 2.0 * pi * frequency;
    double sum = 0.0;
    for (const PlateMode& m : modes) {
        const double own = 2.0 * pi * m.frequency_hz;
        const double off = own * own - omega * omega, loss = own * own / quality;
        sum += omega * m.at_place * m.at_place * loss / (off * off + loss * loss);
    }
    return sum;
}

}  // namespace tymbal
