// Light in a cavity and one mode of the film: photons, cooperativity, spring and damping by light, how cold it gets.
#pragma once

#include <optional>

namespace tymbal {

/// The resonance that the light drives.
struct CavityLine {
    double wavelength_m = 0.0;
    double kappa_hz = 0.0;        ///< full width
    double kappa_input_hz = 0.0;  ///< its part that goes through the input mirror
};

/// A mode of the film as the cavity sees it.
struct CoupledMode {
    double frequency_hz = 0.0;
    double linewidth_hz = 0.0;  ///< full width at half maximum of the power spectrum
    double thermal_occupancy = 0.0;
    double g0_hz = 0.0;  ///< g0/2 pi
};

/// The laser: power on the input mirror, and its frequency less that of the cavity as the light has pushed it.
struct CavityDrive {
    double power_w = 0.0;
    double detuning_hz = 0.0;
};

/// n_cav = P kappa_in/(hbar omega (Delta^2 + kappa^2/4)). Source: Aspelmeyer et al., Rev. Mod. Phys. 86, 1391 (2014)
/// (from memory).
[[nodiscard]] double photons(const CavityLine& line, const CavityDrive& drive);
/// The power that holds so many photons. @param photons > 0
[[nodiscard]] double power_for_photons_w(const CavityLine& line, double detuning_hz, double photons);

/// C0 = 4 g0^2/(kappa Gamma_m), of one photon.
[[nodiscard]] double single_photon_cooperativity(const CavityLine& line, const CoupledMode& mode);

/// What photons in the cavity do to a mode, first order in g/kappa.
struct OpticalForce {
    double spring_hz = 0.0;   ///< shift of the frequency
    double damping_hz = 0.0;  ///< added to the linewidth; negative: light drives the mode
    double heating_hz = 0.0;  ///< rate at which light adds quanta to the ground state, over 2 pi
};

/// A-+ = g^2 kappa/(kappa^2/4 + (Delta +- Omega)^2), damping A- - A+. Sources: Marquardt et al., Phys. Rev. Lett. 99,
/// 093902 (2007); Wilson-Rae et al., Phys. Rev. Lett. 99, 093901 (2007) (from memory).
[[nodiscard]] OpticalForce optical_force(const CavityLine& line, const CoupledMode& mode, const CavityDrive& drive);

/// n_f = (A+ + Gamma_m n_th)/(Gamma_opt + Gamma_m).
/// @return empty when light drives the mode harder than it is damped, or takes away its spring
[[nodiscard]] std::optional<double> final_occupancy(const CavityLine& line, const CoupledMode& mode,
                                                    const CavityDrive& drive);

/// The red detuning at which a power cools a mode best.
struct BestDetuning {
    double detuning_hz = 0.0;
    double occupancy = 0.0;
};
/// @param power_w > 0 @return empty for a mode that the light does not meet, or that this power does not cool
[[nodiscard]] std::optional<BestDetuning> best_detuning(const CavityLine& line, const CoupledMode& mode,
                                                        double power_w);

/// Least occupancy that back-action leaves at any power, (sqrt(1 + (kappa/2 Omega)^2) - 1)/2 at Delta =
/// -sqrt(Omega^2 + kappa^2/4); (kappa/4 Omega)^2 where sidebands are resolved [derived from A-+].
[[nodiscard]] double back_action_limit(const CavityLine& line, const CoupledMode& mode);

/// Quanta that back-action adds on resonance: C/(1 + 4 Omega^2/kappa^2).
[[nodiscard]] double back_action_quanta(const CavityLine& line, const CoupledMode& mode, double power_w);

/// Least occupancy by feedback from the light that comes back through the input mirror, on resonance: (1/sqrt(eta) -
/// 1)/2 with eta = kappa_in/kappa/(1 + n_th/n_ba) and n_ba the quanta of back-action (from memory, no source at hand).
/// @return empty without light
[[nodiscard]] std::optional<double> feedback_limit(const CavityLine& line, const CoupledMode& mode, double power_w);

/// Photons on resonance above which the cavity has two states, the film giving way at rest: 4 kappa/(3 sqrt3) over the
/// shift of the resonance per photon [derived]. For one mode that shift is 2 g0^2/Omega.
/// @param shift_per_photon_hz > 0
[[nodiscard]] double bistable_photons(const CavityLine& line, double shift_per_photon_hz);

/// Least power at which light overcomes a mode's damping, Gamma_opt = -Gamma_m.
struct Instability {
    double power_w = 0.0;
    double detuning_hz = 0.0;
};
/// At a blue detuning. @return empty where light does not drive the mode
[[nodiscard]] std::optional<Instability> unstable_power(const CavityLine& line, const CoupledMode& mode,
                                                        double detuning_hz);
/// At the blue detuning that needs the least.
[[nodiscard]] std::optional<Instability> least_unstable_power(const CavityLine& line, const CoupledMode& mode);

}  // namespace tymbal
