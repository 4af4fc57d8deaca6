// Uncertainty of each frequency from the uncertainties of the inputs, by exact first-order sensitivities.
#pragma once

#include "tymbal/task/laid_film.h"

namespace tymbal {

/// Fills frequency_std_hz and the contributions (largest first) of all modes. The sensitivity to the rim of a film that
/// an etch front sets free is replaced by the one with which the film finds its balance anew.
void add_uncertainties(const Device& device, const FilmOnOutline& laid, const Effort& effort, ModeSet& set);

}  // namespace tymbal
