#include "tymbal/quality/thermoelastic.h"

#include "tymbal/base/constants.h"

#include <cmath>

namespace tymbal {

double thermoelastic_shape(double xi) {
    // Small xi: (sinh + sin)/(cosh + cos) = xi - xi^5/30 + ..., so the shape is xi^2/5 - ...; the closed form loses its
    // digits.
    if (xi < 0.05) return xi * xi / 5.0;
    if (xi > 40.0) return 6.0 / (xi * xi) - 6.0 / (xi * xi * xi);
    return 6.0 / (xi * xi) - 6.0 / (xi * xi * xi) * (std::sinh(xi) + std::sin(xi)) / (std::cosh(xi) + std::cos(xi));
}

LossTerm thermoelastic_loss(const Mode& mode, const Film& film, const Dilution& dilution) {
    LossTerm term;
    term.name = "thermoelastic";
    term.trust = Trust::estimated;
    term.formula =
        "1/Q = (E alpha^2 T/C) (1+nu)/(1-nu) [6/xi^2 - (6/xi^3)(sinh xi + sin xi)/(cosh xi + cos xi)] "
        "W_bending/W_total, "
        "xi = h sqrt(omega C/(2 kappa))";
    term.source = "Lifshitz and Roukes, Phys. Rev. B 61, 5600 (2000); plate factor from memory";
    term.note = "only bending moves heat; usually far below the other terms in thin nitride";
    const double heat = film.density.si() * film.heat_capacity.si();
    const double alpha = film.thermal_expansion.si();
    const double strength = film.youngs_modulus.si() * alpha * alpha * film.temperature.si() / heat;
    const double omega = 2.0 * constants::pi * mode.frequency_hz;
    const double xi = film.thickness.si() * std::sqrt(omega * heat / (2.0 * film.thermal_conductivity.si()));
    const double nu = film.poisson_ratio.si();
    const double loss = strength * (1.0 + nu) / (1.0 - nu) * thermoelastic_shape(xi);
    if (!(loss > 0.0) || !std::isfinite(loss)) {
        term.note = "no thermal expansion, no thermoelastic loss";
        return term;
    }
    term.quality = QualityBand{dilution.factor / loss, dilution.low / loss, dilution.high / loss};
    return term;
}

}  // namespace tymbal
