// The part of the release report that only geometry and rates are needed for.
#pragma once

#include "tymbal/task/release_report.h"

namespace tymbal {

/// Of the holes themselves, outermost edge to edge.
[[nodiscard]] Box extent(const PlacedHoles& holes);

/// The fronts round the placed holes.
[[nodiscard]] FrontReport front_report(const Device& device, const PlacedHoles& holes);

/// Times, losses and the window of the design's etchant; empty when the design does not say which.
[[nodiscard]] std::optional<EtchReport> etch_report(const Device& device, const PlacedHoles& holes,
                                                    const FrontReport& front);

/// Every etchant of the table that attacks the sacrificial layer, by falling selectivity; those of unknown selectivity
/// last. Compared, not recommended.
[[nodiscard]] std::vector<AcidRow> compare_acids(const Device& device, const Materials& materials, double undercut_m);

}  // namespace tymbal
