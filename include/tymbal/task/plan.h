// The measurement plan: where to look, how long, how hard to drive, what pressure and power, where to put the spot.
#pragma once

#include "tymbal/light/gap_readout.h"
#include "tymbal/measurement/duffing.h"
#include "tymbal/measurement/heating.h"
#include "tymbal/measurement/measurement.h"
#include "tymbal/measurement/neighbours.h"
#include "tymbal/measurement/radiation_band.h"
#include "tymbal/measurement/spots.h"
#include "tymbal/quality/gap_spring.h"
#include "tymbal/task/predict.h"
#include "tymbal/task/progressed.h"

#include <optional>
#include <string>
#include <vector>

namespace tymbal {

struct PlanOptions {
    double allowed_shift = 1e-4;   ///< relative shift of a frequency by light that is still accepted
    double gas_share = 0.1;        ///< of a mode's whole loss that gas may make
    std::vector<std::string> aim;  ///< labels of the modes that one spot shall serve; empty: all
    /// Q that a mode was measured to have, by label or number; it takes the place of the budget's.
    std::vector<std::pair<std::string, double>> measured_q = {};
};

/// Reflected light of film, gap and substrate at the probe wavelength.
struct LightPlan {
    double wavelength_m = 0.0;
    std::complex<double> film_index;  ///< of the solid film; averaged over the holes where light sees it so
    SeenAs seen_as = SeenAs::plain;
    double pitch_in_wavelengths = 0.0;  ///< 0: no holes
    std::string below;                  ///< row, or "none"
    std::optional<double> gap_m;        ///< empty: both faces open
    double coupling = 0.0;  ///< what is left of the first orders over the gap and back (coupling_across); 0: no lattice
    bool coupled = false;   ///< the orders that cross the gap are solved with the zero one, else that one alone crosses
    GapPoint here;
    double slope_std_per_m = 0.0;  ///< of the slope here: film's thickness and index, substrate's index; not the gap
    double relative_slope_per_m = 0.0;  ///< (dR/dgap)/R
    double best_slope_per_m = 0.0;      ///< largest |dR/dgap| of any gap at this wavelength
    bool blind = false;                 ///< less than a tenth of that is left at the gap
    Tolerance half;                     ///< gaps between which at least half the slope is left; no use at a blind gap
    Landmarks gaps;                     ///< within a quarter of the wavelength of the gap
    Landmarks wavelengths;              ///< within a tenth of the probe's, at the gap
    std::vector<Landmark> usual;        ///< slope at the gap for usual laser lines inside the index data
};

/// Film and chip under heat.
struct HeatPlan {
    Heating at_spot;                 ///< per absorbed watt, with radiation of faces
    double temperature_share = 0.0;  ///< relative standard deviation of the temperatures: conductivity
    double shift_share = 0.0;        ///< of stress and shifts: expansion and modulus too
    double emissivity = 0.0;         ///< of one face, taken
    double absorbed_share = 0.0;     ///< of the incident power; one deviation of extinction is its own size or more
    double absorbed_std = 0.0;
    /// df/f of a mode that only tension holds, chip and film warmed together, 1/K; empty without tension.
    std::optional<double> shift_per_kelvin;
    double shift_per_kelvin_std = 0.0;
    struct Cold {
        double temperature_k = 0.0;
        double stress_pa = 0.0;
        double stress_std_pa = 0.0;
        double frequency_factor = 0.0;  ///< square root of the stress's ratio
    };
    std::vector<Cold> cold;  ///< stress as deposited after cool-down
};

struct PlannedMode {
    int index = 0;
    std::string label;
    int partner = 0;
    double frequency_hz = 0.0;
    double deviation_hz = 0.0;  ///< one standard deviation, numerics included; see Plan::assumed
    double numerics_hz = 0.0;   ///< error of the solution, of three grids on rectangles
    QualityBand quality;
    bool measured = false;  ///< quality was given, not predicted
    std::string limited_by;
    Timing timing;
    Duffing duffing;
    double drive_ceiling_m = 0.0;  ///< amplitude at the antinode that moves the line by half its width
    double thermal_rms_m = 0.0;    ///< at the antinode
    std::optional<double> overlap;
    std::optional<double> peak_m_per_rthz;         ///< at the spot, one-sided
    std::optional<double> peak_relative_per_rthz;  ///< of the reflected power
    std::optional<double> peak_over_shot_noise;    ///< amplitude ratio, needs a power
    std::string hidden;                            ///< why it will not be seen; empty: it should be
    std::optional<SpotChoice> best;                ///< spot for this mode alone
    double shift_per_absorbed_watt = 0.0;          ///< relative; 0 without a readout
    std::optional<double> power_limit_w;           ///< incident, for the allowed shift, absorption one deviation high
    std::optional<double> absorbed_limit_w;        ///< absorbed, for the allowed shift
    std::optional<double> pressure_limit_pa;       ///< middle of the gas band
    double pressure_low_pa = 0.0, pressure_high_pa = 0.0;
    std::optional<double> trapped_shift_hz_per_pa;  ///< gas spring of the gap, walls that take molecules up
    std::optional<MobilityBand> chip_mobility;      ///< velocity per force of the chip at the membrane's place
    std::optional<QualityBand> chip_radiation;
    std::optional<Neighbour> chip_mode;
    std::optional<Neighbour> harmonic;
};

struct Plan {
    std::string title;
    std::string sha256;
    PlanOptions options;
    std::optional<LightPlan> light;
    std::optional<HeatPlan> heat;
    std::optional<ChipModel> chip;
    std::optional<SpotChoice> common_spot;  ///< for the modes aimed at
    std::string gas;                        ///< row taken for the pressure limits
    std::optional<GapGas> gap_gas;          ///< of the lowest mode at the design's pressure
    double count_below_hz = 0.0;            ///< highest planned frequency
    int counted = 0;
    std::optional<double> weyl;  ///< empty without tension
    double temperature_k = 0.0;
    std::optional<double> power_w;
    /// The design states no deviation that a frequency feels: windows take those of the film's material row, and 3 % of
    /// the stress.
    bool assumed = false;
    std::vector<PlannedMode> modes;
    std::vector<SourceLine> sources;
    Warnings warnings;
};

/// @param effort  but for `brief`: a plan is content with three grids
/// @throws NoAnswer as predict, and for labels in options.aim and options.measured_q that no mode has
[[nodiscard]] Plan plan(const Device& device, const Materials& materials, const PlanOptions& options,
                        const Progressed& progressed = {}, Effort effort = {});

}  // namespace tymbal
