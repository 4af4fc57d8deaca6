// How whole holes fill the field that a design asks for, and what the etch took, in words.
#pragma once

#include "tymbal/task/released_film.h"

#include <string>

namespace tymbal {

/// "240.0 x 240.0 um, of which whole holes fill 236.0 x 230.6 um".
[[nodiscard]] std::string field_filled(const FieldFit& field);

/// "226 or 246 um wide, 221.9 or 239.3 um high": the sides from which a row less or more fits.
[[nodiscard]] std::string next_fields(const FieldFit& field);

/// "100.0 nm deposited, 68.8 +- 9.5 nm as released", or the thickness alone.
[[nodiscard]] std::string thickness_words(const ReleasedFilm& film);

/// "20.0 nm from above; from below 11.2 nm in the mean, 20.0 nm at the holes"; empty when nothing is known to be taken.
[[nodiscard]] std::string taken_words(const ReleasedFilm& film);

}  // namespace tymbal
