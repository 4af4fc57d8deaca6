// Whether a design's holes are averaged over their lattice or resolved one by one.
#pragma once

#include "tymbal/task/device.h"

#include <string>

namespace tymbal {

/// The model that a design asks for, and why.
struct ModelChoice {
    bool resolved = false;
    std::string reason;
};

/// `auto` resolves what a lattice's average cannot see: single holes, openings, omitted sites, very few holes; and the
/// holes of an etch front, whose rim they shape, up to 400 of them.
/// @throws NoAnswer when the averaged model is asked for and does not apply
[[nodiscard]] ModelChoice choose_model(const Device& device);

/// The model of tasks that do not see single holes: a lattice that may be averaged is.
[[nodiscard]] Model coarse_model(const Device& device);

}  // namespace tymbal
