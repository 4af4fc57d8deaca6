// What a prediction must be warned about, its limits, and where its inputs come from.
#pragma once

#include "tymbal/task/effective_film.h"

namespace tymbal {

/// Range of validity of film and plate theory for this design: compressed regions, stress near fracture, thick plates,
/// pitch against wavelength, holes inside the edge layer.
[[nodiscard]] Warnings validity_warnings(const Device& device, const FilmOnOutline& laid, const ModeSet& set,
                                         const EffectiveFilm& film);

/// What a film with layers on it must be warned about; nothing without layers.
[[nodiscard]] Warnings layer_warnings(const Film& film);
/// The same for layers over parts of the film.
[[nodiscard]] Warnings patch_warnings(const Device& device, const EffectiveFilm& film);

/// Oxide that the design's undercut leaves between the holes, and a window's rim that it does not reach.
[[nodiscard]] Warnings release_warnings(const Device& device);

/// The limits that the design sets and how the prediction stands to them.
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

/// Values of the design file that look like a slip: a deviation above its value, a stress below 1 MPa.
/// @param thinned  a wet etch took some of the film, so that its thickness is not the one that the user stated
[[nodiscard]] Warnings doubtful_inputs(const std::vector<SourceLine>& sources, bool thinned = false);

/// Every input value with its deviation, SI unit and source.
[[nodiscard]] std::vector<SourceLine> list_sources(const Device& device, const Solid& substrate);

}  // namespace tymbal
