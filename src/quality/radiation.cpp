#include "tymbal/quality/radiation.h"

#include "tymbal/base/constants.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

using constants::pi;
constexpr double least_net_force = 1e-3;

/// Midpoint rule in an angle that takes both square-root ends out of the integrand.
template <class F>
double between(double a, double b, F f) {
    constexpr int steps = 2000;
    double sum = 0.0;
    for (int k = 0; k < steps; ++k) {
        const double angle = (k + 0.5) / steps * pi;
        const double x = 0.5 * (a + b) - 0.5 * (b - a) * std::cos(angle);
        sum += f(x) * 0.5 * (b - a) * std::sin(angle) * pi / steps;
    }
    return sum;
}

/// Rayleigh's function on the real axis beyond the shear wave number.
double rayleigh(double x, double g) {
    const double q = 2.0 * x * x - 1.0;
    return q * q - 4.0 * x * x * std::sqrt(x * x - g * g) * std::sqrt(x * x - 1.0);
}

double rayleigh_root(double g) {
    double a = 1.0 + 1e-12, b = 2.0;  // positive at the shear wave number, negative beyond the root
    for (int step = 0; step < 200; ++step) {
        const double middle = 0.5 * (a + b);
        (rayleigh(middle, g) > 0.0 ? a : b) = middle;
    }
    return 0.5 * (a + b);
}

struct Substrate {
    double density = 0.0, modulus = 0.0, nu = 0.0;
    [[nodiscard]] double shear_speed() const { return std::sqrt(modulus / (2.0 * (1.0 + nu) * density)); }
};

}  // namespace

double half_space_power_factor(double nu) {
    const double g = std::sqrt((1.0 - 2.0 * nu) / (2.0 - 2.0 * nu));  // shear over compression speed
    const double both = between(0.0, g, [g](double x) {
        const double a = std::sqrt(g * g - x * x), b = std::sqrt(1.0 - x * x), q = 2.0 * x * x - 1.0;
        return x * a / (q * q + 4.0 * x * x * a * b);
    });
    const double shear = between(g, 1.0, [g](double x) {
        const double a = std::sqrt(x * x - g * g), b = std::sqrt(1.0 - x * x), q = 2.0 * x * x - 1.0;
        const double cross = 4.0 * x * x * a * b;
        return x * a * cross / (q * q * q * q + cross * cross);
    });
    const double root = rayleigh_root(g);
    constexpr double step = 1e-6;
    const double slope = (rayleigh(root + step, g) - rayleigh(root - step, g)) / (2.0 * step);
    return both + shear + pi * root * std::sqrt(root * root - g * g) / std::abs(slope);
}

LossTerm radiation_loss(const Mode& mode, const LossInputs& inputs) {
    LossTerm term;
    term.name = "radiation";
    term.trust = Trust::order_of_magnitude;
    term.formula =
        "Q = omega W/P, P = I omega^2 F^2/(4 pi rho_s c_T^3) (half-space) and F^2/(16 sqrt(D_s rho_s H)) (endless "
        "plate), "
        "F = omega^2 int m w dA";
    term.source =
        "derived from Miller and Pursey, Proc. R. Soc. A 233, 55 (1955) and the point mobility of a plate; compare "
        "Villanueva and Schmid (2014) and Wilson-Rae et al., Phys. Rev. Lett. 106, 047205 (2011) (abstracts)";
    const double film_mass = inputs.areal_density * inputs.outline_area;
    const double net = std::abs(mode.integrals.net_mass);
    if (net < least_net_force * std::sqrt(mode.integrals.mass * film_mass)) {
        term.note =
            "the mode's net force on the rim vanishes; it radiates through higher moments only, far less, and that is "
            "not "
            "estimated";
        return term;
    }
    if (!inputs.substrate.youngs_modulus || !inputs.substrate.poisson_ratio || !inputs.substrate.density) {
        term.note = "the chip's material row has no elastic constants or density";
        return term;
    }
    const Substrate s{inputs.substrate.density->si(), inputs.substrate.youngs_modulus->si(),
                      inputs.substrate.poisson_ratio->si()};
    const double omega = 2.0 * pi * mode.frequency_hz;
    const double force = omega * omega * net;
    const double energy = 0.5 * mode.integrals.stiffness;
    const double c = s.shear_speed();
    const double half_space =
        half_space_power_factor(s.nu) * omega * omega * force * force / (4.0 * pi * s.density * c * c * c);
    const double chip = inputs.chip_thickness.si();
    const double bending = s.modulus * chip * chip * chip / (12.0 * (1.0 - s.nu * s.nu));
    const double plate = force * force / (16.0 * std::sqrt(bending * s.density * chip));
    const double q1 = omega * energy / half_space, q2 = omega * energy / plate;
    term.quality = QualityBand{std::sqrt(q1 * q2), std::min(q1, q2), std::max(q1, q2)};
    term.note =
        "a real chip lies between and beyond: its own modes and its mounting move measured values by more than a "
        "factor of "
        "100 (Joeckel et al., Appl. Phys. Lett. 99, 143109 (2011), abstract)";
    const double wavelength = 2.0 * pi * c / omega;
    if (wavelength < 3.0 * std::sqrt(inputs.outline_area))
        term.note +=
            "; the membrane is not small against the substrate's wavelength, the point source is then a rough picture";
    return term;
}

}  // namespace tymbal
