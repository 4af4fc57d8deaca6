// The part that every task shares: film laid out, modes solved, their numerical errors and uncertainties known.
#pragma once

#include "tymbal/task/effective_film.h"

namespace tymbal {

struct SolvedDesign {
    FilmOnOutline laid;
    ModeSet set;  ///< with uncertainties and the unit cell's own error
};

/// @throws NoAnswer   compressed or buckled film, or a model that does not apply
[[nodiscard]] SolvedDesign solve(const Design& design);

/// Losses, readout figures, static answers, checks and sources on top of the modes.
[[nodiscard]] Prediction complete(const Design& design, const Materials& materials, SolvedDesign solved);

}  // namespace tymbal
