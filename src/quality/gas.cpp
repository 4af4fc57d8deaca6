#include "tymbal/quality/gas.h"

#include "tymbal/base/constants.h"
#include "tymbal/quality/dense_gas.h"

#include "../base/plain.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace tymbal {

namespace {

using constants::pi;
constexpr double ballistic_knudsen = 10.0;  // above it molecules meet walls, not each other (common textbook border)

std::string short_number(double value) {
    return plain(value, 2);
}

std::string regime(double knudsen) {
    if (knudsen > 0.1) return "transition";
    return knudsen > 0.01 ? "slip-flow" : "viscous";
}

/// Q of a film with mass per area m against a drag per area; a film's holes take mass and drag in equal shares.
double quality_against(double drag, const Mode& mode, const LossInputs& inputs) {
    const double solid_mass = inputs.film.density.si() * inputs.film.thickness.si();
    return 2.0 * pi * mode.frequency_hz * solid_mass / drag;
}

/// A gas whose molecules meet each other: flow beside the film and, at most, sound; between that and free molecules the
/// two drags in series, known to a factor of two.
void add_dense_gas(const Mode& mode, const LossInputs& inputs, double knudsen, LossTerm& term) {
    constexpr double gas_exponent = 1.4;  // of two-atomic gases; single atoms carry sound 9 % faster
    const double temperature = inputs.film.temperature.si(), faces = inputs.gap ? 1.0 : 2.0;
    const Surroundings& gas = *inputs.surroundings;
    const double speed = thermal_speed_m_per_s(gas.gas, temperature), sound = std::sqrt(gas_exponent) * speed;
    const double density = gas.pressure.si() / (speed * speed), viscosity = gas.gas.viscosity.si();
    const double k = wave_number(mode.shape), solid = inputs.film.density.si() * inputs.film.thickness.si();
    if (!(k > 0.0)) return;
    const double vacuum = 2.0 * pi * mode.frequency_hz;
    const double loaded =
        vacuum / std::sqrt(1.0 + faces * stokes_load(density, viscosity, vacuum, k).added_mass / solid);
    const GasLoad flow = stokes_load(density, viscosity, loaded, k);
    const double heavier = faces * flow.added_mass / solid;
    const double loudest = sound_drag(density, sound, loaded, k, inputs.outline_area);
    const bool between = knudsen > 0.1;
    const FaceDrag free = face_drag(gas, temperature);
    const double drag = between ? 1.0 / (1.0 / flow.drag + 1.0 / free.diffuse) : flow.drag;
    const double factor = between ? 2.0 : 1.0;
    const auto quality = [&](double per_face) { return loaded * (solid * (1.0 + heavier)) / (faces * per_face); };
    const double low = quality(factor * drag + loudest), high = quality(drag / factor);
    term.quality = QualityBand{std::sqrt(low * high), low, high};
    term.trust = Trust::order_of_magnitude;
    term.formula =
        "Q = omega (rho h + m_gas)/(drag + sound); drag and m_gas per face from Z = -i omega rho m/(k (m - k)), "
        "m^2 = k^2 - i omega rho/mu; transition: in series with free molecules, within a factor 2; sound from none to "
        "that of a plane or of a point source";
    term.source =
        "unsteady Stokes flow, Landau and Lifshitz, Fluid Mechanics, section 24; Morse and Ingard, Theoretical "
        "Acoustics, ch. 7 (from memory, re-derived)";
    term.note = "Knudsen number " + short_number(knudsen) + " on the membrane's size, the " + regime(knudsen) +
                " regime: a band from flow alone to flow with all the sound it can give" +
                (between ? ", interpolated between flow and free molecules" : "") + "; the gas adds " +
                short_number(100.0 * heavier) + " % of mass, which lowers the frequency by " +
                short_number(100.0 * (1.0 - loaded / vacuum)) +
                " % and is not in the frequencies given; what escapes through holes is left out";
}

bool no_gas(const LossInputs& inputs) {
    return !inputs.surroundings || inputs.surroundings->pressure.si() <= 0.0;
}

}  // namespace

double thermal_speed_m_per_s(const Gas& gas, double temperature_k) {
    return std::sqrt(constants::gas_constant_j_per_mol_k * temperature_k / gas.molar_mass.si());
}

double mean_free_path_m(const Surroundings& surroundings, double temperature_k) {
    const double p = surroundings.pressure.si();
    if (p <= 0.0) return std::numeric_limits<double>::infinity();
    return surroundings.gas.viscosity.si() / p * std::sqrt(0.5 * pi) *
           thermal_speed_m_per_s(surroundings.gas, temperature_k);
}

FaceDrag face_drag(const Surroundings& surroundings, double temperature_k) {
    const double scale = surroundings.pressure.si() / thermal_speed_m_per_s(surroundings.gas, temperature_k);
    const double diffuse = std::sqrt(2.0 / pi) + 0.5 * std::sqrt(0.5 * pi);
    const double specular = 2.0 * std::sqrt(2.0 / pi);
    return {scale * diffuse, scale * specular};
}

LossTerm gas_loss(const Mode& mode, const LossInputs& inputs) {
    LossTerm term;
    term.name = "gas";
    term.trust = Trust::computed;
    term.formula =
        "Q = omega rho h / (K p sqrt(M/(R T))), K per face between sqrt(2/pi) + sqrt(pi/8) (diffuse) and 2 sqrt(2/pi) "
        "(specular)";
    term.source = "Christian, Vacuum 16, 175 (1966) (from memory, re-derived)";
    if (no_gas(inputs)) {
        term.note = "no gas in the design";
        return term;
    }
    const double size = std::sqrt(inputs.outline_area);
    const double temperature = inputs.film.temperature.si();
    const double knudsen = mean_free_path_m(*inputs.surroundings, temperature) / size;
    if (knudsen < ballistic_knudsen) {
        term.note =
            "Knudsen number " + short_number(knudsen) + " on the membrane's size: the gas is in the " +
            regime(knudsen) +
            " regime, free-molecular drag does not hold and no number is given; the gas then also adds mass and sound";
        add_dense_gas(mode, inputs, knudsen, term);
        return term;
    }
    const double faces = inputs.gap ? 1.0 : 2.0;
    const FaceDrag drag = face_drag(*inputs.surroundings, temperature);
    const double low = quality_against(faces * drag.specular, mode, inputs);
    const double high = quality_against(faces * drag.diffuse, mode, inputs);
    term.quality = QualityBand{std::sqrt(low * high), low, high};
    term.note = inputs.gap ? "on the one face that is open to the chamber" : "on both faces";
    return term;
}

LossTerm squeeze_film_loss(const Mode& mode, const LossInputs& inputs) {
    LossTerm term;
    term.name = "squeeze_film";
    term.trust = Trust::order_of_magnitude;
    term.formula =
        "drag between free gas on one face and 1.84/(1/a + 1/b) of free gas on two, a = P/(7.2 g) (quasi-static), "
        "b = (3/sqrt(2 pi)) P v^2/(3.19 g A omega^2) (molecules that cannot leave within a period)";
    term.source =
        "derived for specular and diffuse walls; compare Bao et al., J. Micromech. Microeng. 12, 341 (2002) (abstract)";
    if (!inputs.gap) {
        term.note = "no gap in the design: both faces are open";
        return term;
    }
    if (no_gas(inputs)) {
        term.note = "no gas in the design";
        return term;
    }
    const double gap = inputs.gap->si();
    const double temperature = inputs.film.temperature.si();
    const double knudsen = mean_free_path_m(*inputs.surroundings, temperature) / gap;
    if (knudsen < ballistic_knudsen) {
        term.note = "Knudsen number " + short_number(knudsen) + " on the gap: the " + regime(knudsen) +
                    " regime, where no formula used here holds; no number is given";
        return term;
    }
    const double speed = thermal_speed_m_per_s(inputs.surroundings->gas, temperature);
    const double omega = 2.0 * pi * mode.frequency_hz;
    const double two_faces = 4.0 * std::sqrt(2.0 / pi);
    const double quasi_static = inputs.outline_perimeter / (7.2 * gap);
    const double inertial = 3.0 / std::sqrt(2.0 * pi) / two_faces * inputs.outline_perimeter * speed * speed /
                            (gap * inputs.outline_area * omega * omega);
    constexpr double diffuse_walls = 1.84;  // quasi-static drag of diffuse over specular walls, 243 um square over 2 um
    const FaceDrag drag = face_drag(*inputs.surroundings, temperature);
    const double most = std::max(1.0, diffuse_walls / (1.0 / quasi_static + 1.0 / inertial)) * 2.0 * drag.specular;
    const double low = quality_against(most, mode, inputs);
    const double high = quality_against(drag.diffuse, mode, inputs);
    term.quality = QualityBand{std::sqrt(low * high), low, high};
    term.note = "a band: wall accommodation is not known, and at this frequency a molecule crosses " +
                short_number(2.0 * pi * speed / omega / std::sqrt(inputs.outline_area)) +
                " membrane widths in a period";
    if (inputs.pitch > 0.0)
        term.note += "; holes let gas escape at the scale of the pitch, which favours the upper end";
    return term;
}

}  // namespace tymbal
