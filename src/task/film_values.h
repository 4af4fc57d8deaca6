// A fit's parameters as values of the designs: what they were, what they are, and what a design must say to predict it.
#pragma once

#include "film_search.h"

namespace tymbal {

/// "film.stress" first. @param designs  as given, one per device
[[nodiscard]] std::vector<FittedValue> fitted_values(const std::vector<DeviceInput>& designs, const FilmFit& fit);

/// Relative sigma of stress/(density size^2), which sets the lowest frequency: twice that of its fit.
[[nodiscard]] double group_deviation(const FilmFit& fit, const LineModel& first);

/// Splitting of pairs on a rectangle by tilt and by its sides; empty for other outlines and where the fit has neither.
[[nodiscard]] std::optional<Split> split_of(const Device& design, const FilmFit& fit, std::size_t device);

/// Stress, undercut, edges and hole size that explain the lines when all other inputs are as the designs say; the first
/// device's first entry is "film.stress". Deviations are those of the whole fit.
[[nodiscard]] std::vector<std::vector<WrittenValue>> written_values(const std::vector<DeviceInput>& designs,
                                                                    const std::vector<Work>& works,
                                                                    const FoundFilm& found);

}  // namespace tymbal
