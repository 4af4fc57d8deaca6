// The film in its cavity: coupling along half a wavelength, and for each mode what the cavity's light does to it.
#pragma once

#include "tymbal/cavity/cooling.h"
#include "tymbal/cavity/resonance.h"
#include "tymbal/cavity/thermal_noise.h"
#include "tymbal/grid/solve_effort.h"
#include "tymbal/task/predict.h"
#include "tymbal/task/progressed.h"

#include <optional>
#include <string>
#include <vector>

namespace tymbal {

struct SolvedDesign;

/// A mode under the cavity's light; needs a power above zero.
struct DrivenMode {
    double photons = 0.0;
    double cooperativity = 0.0;
    double quantum_cooperativity = 0.0;
    OpticalForce force;
    double coupling_over_kappa = 0.0;       ///< g/kappa; above 1/4 the two lines split and these formulas end
    std::optional<double> final_occupancy;  ///< empty where light drives the mode or takes away its spring
    std::optional<BestDetuning> best;       ///< empty for a mode that the light does not meet or cool
    double back_action_quanta = 0.0;        ///< on resonance
    std::optional<double> feedback_limit;   ///< on resonance
};

struct ModeInCavity {
    int index = 0;
    std::string label;
    int partner = 0;
    double frequency_deviation_hz = 0.0;  ///< of inputs and numerics in squares
    double overlap = 0.0;                 ///< mode shape averaged over the cavity's spot, signed
    CoupledMode mode;
    double single_photon_cooperativity = 0.0;
    double back_action_limit = 0.0;  ///< least occupancy at any power, at the detuning best for it
    double thermal_rms_hz = 0.0;     ///< of the cavity's frequency
    double detuning_hz = 0.0;        ///< at which the mode is judged: the design's, or its own best
    /// At that detuning; empty for a mode that the light does not meet.
    std::optional<double> power_for_quantum_cooperativity_w;
    std::optional<DrivenMode> driven;
};

/// Heat that the circulating light leaves in the film, at the wanted mode's detuning.
struct CavityHeat {
    double absorbed_w = 0.0;
    double hottest_k = 0.0;
    double relative_shift = 0.0;  ///< of the wanted mode
};

/// Noise of the cavity's frequency at the wanted mode's, one-sided, Hz/rtHz.
struct NoiseAtMode {
    double own = 0.0;     ///< peak of its own thermal line
    double others = 0.0;  ///< tails of the other listed modes
    double mixed = 0.0;   ///< sums and differences of the listed modes
};

/// A frequency at which thermal motion would mix with a loud mode onto the wanted one.
struct QuietFrequency {
    double frequency_hz = 0.0;
    std::string loud;  ///< label of the loud mode
};

struct CavityNoise {
    double rms_hz = 0.0;           ///< of the cavity's frequency, by all modes of the film: its static stiffness
    bool all_modes = true;         ///< false: the stiffness is not known, the listed modes alone
    double listed_rms_hz = 0.0;    ///< by the listed modes
    double over_half_kappa = 0.0;  ///< 2 rms/kappa: near 1 no linear readout is possible
    NoiseAtMode at_wanted;
    std::vector<MixedTone> nearest;  ///< mixed tones next to the wanted mode, nearest first
    std::vector<QuietFrequency> quiet;
};

struct CavityReport {
    std::string title;
    std::string sha256;
    Cavity settings;
    double wavelength_m = 0.0;
    double temperature_k = 0.0;
    SeenFilm film;  ///< alone
    HalfWavelength travel;
    std::vector<ModeInCavity> modes;
    std::size_t wanted = 0;  ///< place of the mode of [target] among them, else the lowest
    CavityNoise noise;
    std::optional<double> bistable_power_w;  ///< on resonance, the film giving way with all its modes
    std::optional<Instability> unstable;     ///< first mode to oscillate: at the design's blue detuning, else the worst
    std::string unstable_mode;               ///< its label
    std::optional<CavityHeat> heat;          ///< needs a power and a film that absorbs
    std::vector<SourceLine> sources;
    Warnings warnings;
};

/// @throws InputError without [cavity]; NoAnswer as predict, where the film has no index, and for a mode of [target]
/// that is not among the modes
[[nodiscard]] CavityReport see_cavity(const Device& device, const Materials& materials,
                                      const Progressed& progressed = {}, const SolveEffort& large = {});

/// The same of a design whose film is solved and predicted already, without solving it again where that can be.
/// @param solved, prediction  of that very design @param effort  with which they were made
[[nodiscard]] CavityReport see_cavity(const Device& device, const Materials& materials, const SolvedDesign& solved,
                                      const Prediction& prediction, const Effort& effort);

}  // namespace tymbal
