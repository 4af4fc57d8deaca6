// The section [cavity]: mirrors, the film's place between them, and the light that drives them.
#pragma once

#include "design_table.h"

#include "tymbal/cavity/cavity.h"
#include "tymbal/readout/readout.h"

namespace tymbal {

/// @param readout  of the same design; its spot and power are the defaults
/// @throws InputError for mirrors and places between which no light can stay, and for a substrate below the film
[[nodiscard]] Cavity read_cavity(const DesignSection& section, const std::optional<Readout>& readout);

}  // namespace tymbal
