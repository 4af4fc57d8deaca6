// Designs that no other design beats in everything that counts.
#pragma once

#include "tymbal/task/choose.h"

namespace tymbal {

/// Over frequency error (small), Q f (large), release time (small), fracture margin and reflectivity (large), as far as
/// all candidates have them, and the figure aimed at (large). Of designs with equal figures the first stays.
/// @param feasible  all with figures
[[nodiscard]] std::vector<Candidate> pareto(const std::vector<Candidate>& feasible, Aim aim);

}  // namespace tymbal
