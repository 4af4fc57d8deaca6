#include "tymbal/quality/gap_spring.h"

#include "tymbal/base/constants.h"
#include "tymbal/quality/gas.h"

#include <cmath>

namespace tymbal {

namespace {

std::string regime_of(double knudsen) {  // common textbook borders
    if (knudsen > 10.0) return "free-molecular";
    if (knudsen > 0.1) return "transition";
    return knudsen > 0.01 ? "slip-flow" : "viscous";
}

}  // namespace

std::optional<GapGas> gap_gas(const Mode& mode, const LossInputs& inputs, double wave_number) {
    if (!inputs.gap || !inputs.surroundings || inputs.surroundings->pressure.si() <= 0.0) return std::nullopt;
    const double gap = inputs.gap->si(), p = inputs.surroundings->pressure.si();
    const double path = mean_free_path_m(*inputs.surroundings, inputs.film.temperature.si());
    const double omega = 2.0 * constants::pi * mode.frequency_hz;
    const double solid_mass = inputs.film.density.si() * inputs.film.thickness.si();
    GapGas out;
    out.knudsen_gap = path / gap;
    out.knudsen_film = path / std::sqrt(inputs.outline_area);
    out.regime = regime_of(out.knudsen_gap);
    const double stiffer = p / (solid_mass * gap * omega * omega);
    out.shift_hz = mode.frequency_hz * stiffer / (std::sqrt(1.0 + stiffer) + 1.0);
    const double viscosity = inputs.surroundings->gas.viscosity.si() / (1.0 + 9.638 * std::pow(out.knudsen_gap, 1.159));
    out.omega_tau = omega * 12.0 * viscosity / (wave_number * wave_number * p * gap * gap);
    if (out.regime == "free-molecular") return out;
    out.quality = (1.0 + out.omega_tau * out.omega_tau) / (stiffer * out.omega_tau);
    return out;
}

}  // namespace tymbal
