// A mode's frequency and width measured against the cavity's detuning, held against the design: the coupling that they
// show, and the one that the film could have.
#pragma once

#include "tymbal/cavity/spring_fit.h"
#include "tymbal/fit/measured.h"
#include "tymbal/grid/solve_effort.h"
#include "tymbal/task/cavity.h"

#include <optional>
#include <string>
#include <vector>

namespace tymbal {

struct CavityFit {
    std::string title;
    std::string sha256;
    Measured measured;
    double wavelength_m = 0.0;
    double power_w = 0.0;            ///< on the input mirror: as the file records it, else the design's
    ModeInCavity mode;               ///< that the lines are of, at the film's best place
    std::vector<DetunedLine> lines;  ///< as measured, by rising detuning
    SpringFit fit;
    double input_share = 0.0, input_share_deviation = 0.0;  ///< of kappa, where it is about as found
    double g0_deviation_hz = 0.0;          ///< of the fit and of the input share, in squares; power as given
    double of_best_place = 0.0;            ///< g0 as a part of what the best place has
    double of_best_place_deviation = 0.0;  ///< of the fit alone, like g0's
    std::optional<CavityPoint> place;      ///< where the film couples as found, of several that of the nearest kappa
    double kappa_least_hz = 0.0, kappa_largest_hz = 0.0;  ///< predicted, over the travel
    Warnings warnings;
    std::vector<SourceLine> sources;
};

/// Do the rows of a list name detunings of a cavity?
[[nodiscard]] bool has_detunings(const Measured& measured);

/// The mode is that of [target] where the design names one, else the one nearest in frequency that light meets.
/// @throws InputError without [cavity], without a power, for a list whose rows lack detunings
/// @throws NoAnswer   as see_cavity and fit_spring
[[nodiscard]] CavityFit fit_cavity(const Device& device, const Materials& materials, const Measured& measured,
                                   const Progressed& progressed = {}, const SolveEffort& large = {});

}  // namespace tymbal
