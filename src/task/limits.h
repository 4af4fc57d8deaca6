// The limits that a design sets, and how a prediction stands to them.
#pragma once

#include "tymbal/task/predict.h"

#include <optional>
#include <vector>

namespace tymbal {

/// @param collapse  the margin that limits.least_collapse_margin speaks of, where it is known
[[nodiscard]] std::vector<LimitCheck> check_limits(const Device& device, const EffectiveFilm& film,
                                                   const std::vector<PredictedMode>& modes,
                                                   const std::optional<LitFilm>& slab,
                                                   const std::optional<double>& collapse = std::nullopt);

/// Limits of the design that stand unchecked because what they speak of is not known, each with the reason; the
/// collapse margin says so where it is sought.
/// @param checks  of the same design
[[nodiscard]] Warnings unchecked_limits(const Device& device, const std::vector<LimitCheck>& checks);

/// The mode that [target] names, else the lowest. @throws NoAnswer when it is not among the modes
[[nodiscard]] const PredictedMode& target_mode(const Device& device, const std::vector<PredictedMode>& modes);

/// Least solid width between neighbouring holes of the lattice, m; empty without one.
[[nodiscard]] std::optional<double> least_ligament_m(const Device& device);

}  // namespace tymbal
