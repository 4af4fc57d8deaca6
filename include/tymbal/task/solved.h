// A prediction together with what it was computed from, for tasks that go on from there.
#pragma once

#include "tymbal/task/laid_film.h"
#include "tymbal/task/stress_map.h"

namespace tymbal {

/// The part that every task shares: film laid out, modes solved, their numerical errors and uncertainties known.
struct SolvedDesign {
    FilmOnOutline laid;
    ModeSet set;  ///< with uncertainties and the unit cell's own error
};

/// @throws NoAnswer   compressed or buckled film, or a model that does not apply
[[nodiscard]] SolvedDesign solve(const Device& device, const Effort& effort = {});

/// Losses, readout figures, static answers, checks and sources on top of the modes.
[[nodiscard]] Prediction complete(const Device& device, const Materials& materials, const SolvedDesign& solved,
                                  const LatticeSolver& light = see_lattice);

/// The same for tasks that show the map of its stress: it takes as long as the modes.
[[nodiscard]] Prediction complete(const Device& device, const Materials& materials, const SolvedDesign& solved,
                                  const StressMap& stress, const LatticeSolver& light = see_lattice);

/// Of that the modes with their losses alone, for tasks that ask nothing of the film as a whole: how it is stressed
/// takes solutions of its own.
[[nodiscard]] PredictedModes complete_modes(const Device& device, const Materials& materials,
                                            const SolvedDesign& solved, const LatticeSolver& light = see_lattice);

/// Row of the chip, or silicon. @throws NoAnswer when the table lacks it
[[nodiscard]] const Solid& substrate_of(const Device& device, const Materials& materials);

/// What the loss models need; holds references to the design's film and to the substrate.
[[nodiscard]] LossInputs loss_inputs(const Device& device, const FilmOnOutline& laid, const Solid& substrate);

}  // namespace tymbal
