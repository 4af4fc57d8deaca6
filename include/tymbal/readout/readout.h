// A mode as the readout sees it: masses, zero-point motion, thermal occupancy and force noise, cavity coupling.
#pragma once

#include "tymbal/geometry/outline.h"
#include "tymbal/modes/modes.h"
#include "tymbal/quality/budget.h"

#include <optional>

namespace tymbal {

/// The light spot.
struct Readout {
    Length wavelength;
    Length spot_radius;  ///< 1/e^2 intensity radius
    Point position;      ///< m
    std::optional<Power> power;
    std::string below;  ///< material row under the gap, "none", or empty when not said
};

/// How a cavity's resonance follows the film.
struct CavityCoupling {
    double hz_per_m = 0.0;  ///< |d frequency/d position| at the film's place
    double kappa_hz = 0.0;  ///< full width of the resonance there
    double waist_m = 0.0;   ///< 1/e^2 intensity radius at the film
};

struct ModeFigures {
    double effective_mass_kg = 0.0;                   ///< at the antinode
    double effective_mass_error_kg = 0.0;             ///< of the solution; that of the spring is the same share
    std::optional<double> spot_overlap;               ///< mode shape averaged over the spot's intensity, signed
    std::optional<double> effective_mass_at_spot_kg;  ///< mass / overlap^2; empty without a spot or on a node
    double spring_constant_n_per_m = 0.0;
    double zero_point_m = 0.0;
    double thermal_occupancy = 0.0;
    double linewidth_hz = 0.0;  ///< full width at half maximum of the power spectrum
    double qf_hz = 0.0;
    double qf_over_thermal = 0.0;                       ///< Q f over kB T / h
    double thermal_force_noise_n_per_rthz = 0.0;        ///< one-sided, referred to the antinode's effective mass
    std::optional<double> single_photon_coupling_hz;    ///< g0 / 2 pi under the cavity's spot; 0 on a node
    std::optional<double> single_photon_cooperativity;  ///< C0 = 4 g0^2/(kappa Gamma_m)
};

/// @param cavity  used only with a readout, whose position is the spot's
[[nodiscard]] ModeFigures see(const Mode& mode, const LossBudget& budget, double temperature_k,
                              const std::optional<Readout>& readout, const std::optional<CavityCoupling>& cavity);

/// Mean of a mode shape over a Gaussian spot's intensity (1/e^2 radius), by sums on the raster refined bilinearly.
[[nodiscard]] double spot_mean(const ShapeRaster& shape, Point centre, double spot_radius_m);

}  // namespace tymbal
