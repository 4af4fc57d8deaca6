// Films that may explain the peaks of one or several devices: each refined from a rough guess and weighed.
#pragma once

#include "scene.h"

#include "tymbal/fit/assign.h"

namespace tymbal {

/// A rough guess of the film.
struct FilmGuess {
    std::vector<Shift> shifts;      ///< one per scene
    std::array<double, 3> place{};  ///< in steps of the raster
    double score = 0.0;
};

/// The best guesses, apart from each other.
[[nodiscard]] std::vector<FilmGuess> best_apart(std::vector<FilmGuess> all);

/// Names for the peaks of every scene, by the evidence of the films that grow out of the guesses.
/// @param freedom  of the film; its scatter is set here
[[nodiscard]] std::vector<Assignment> weigh_films(const std::vector<Scene>& scenes,
                                                  const std::vector<FilmGuess>& guesses, const FitFreedom& freedom);

}  // namespace tymbal
