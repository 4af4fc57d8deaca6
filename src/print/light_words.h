// Words for how light sees a film, the same on the screen, in reports and in JSON.
#pragma once

#include "json_parts.h"

#include "tymbal/task/predict.h"

#include <string>

namespace tymbal {

/// "plain" | "averaged" | "lattice" | "wide holes"
[[nodiscard]] std::string name_of(SeenAs as);

/// "reflects 36.0 +- 0.1 %, transmits 64.0 % (lattice of holes, by Fourier modes of its cell)"
[[nodiscard]] std::string light_words(const LitFilm& film);

/// "12.3 % +- 0.3 (truncation alone)"
[[nodiscard]] std::string reflected_words(double reflectivity, double error);

[[nodiscard]] Json slab_json(const LitFilm& film);

}  // namespace tymbal
