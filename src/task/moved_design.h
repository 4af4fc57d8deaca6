// A design moved to the film that a fit has found, so that it can be solved again there.
#pragma once

#include "tymbal/fit/film_fit.h"
#include "tymbal/task/device.h"

namespace tymbal {

/// True for the parameters of a fit that a design can take up. Unequal stress along x and y and the error of the
/// solution stay with the model of the lines.
[[nodiscard]] bool can_move(const std::string& parameter);

/// Sets the margin such that as many holes fit as were drawn: what a clean room moves are edges, not the lattice's
/// sites. Leaves it where no margin within a pitch does that.
void keep_holes(Device& device, std::size_t count);

/// The design with every value moved by the shift, edges and etch front included, on the same lattice sites; relative
/// deviations stay as they are.
/// @param model  the lines that the shift refers to: names of its inputs
/// @throws NoAnswer when the shift leaves no outline
[[nodiscard]] Device moved(Device device, const LineModel& model, const Shift& shift);

}  // namespace tymbal
