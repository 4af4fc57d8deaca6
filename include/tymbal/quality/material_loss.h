// Loss inside the film: intrinsic quality of bulk and surfaces, and how tension dilutes it.
#pragma once

#include "tymbal/quality/budget.h"

namespace tymbal {

/// Intrinsic quality of a film without tension, 1/Q = 1/Q_volume + 1/(beta h), with the band of one deviation of each.
/// Source: Villanueva and Schmid, Phys. Rev. Lett. 113, 227201 (2014), arXiv 1405.6115 (beta from the abstract,
/// Q_volume from memory).
[[nodiscard]] LossTerm intrinsic_loss(const Film& film);

/// Total elastic energy over bending energy of the mode, clamped-edge layer and curvature at holes included.
/// Source of the bookkeeping: Fedorov et al., Phys. Rev. B 99, 054107 (2019), arXiv 1807.07086 (abstract).
[[nodiscard]] Dilution dilution(const ModeIntegrals& mode);

/// Intrinsic quality times dilution, band by band.
[[nodiscard]] LossTerm diluted_loss(const Film& film, const Dilution& dilution);

}  // namespace tymbal
