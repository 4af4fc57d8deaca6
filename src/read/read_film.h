// The film of a design: the material row with the design's own values, and the layers on it.
#pragma once

#include "design_table.h"

#include "tymbal/task/device.h"

#include <vector>

namespace tymbal {

/// Film of the whole outline, and what lies on parts of it.
struct ReadFilm {
    Film film;
    std::vector<FilmPatch> patches;
    std::vector<TomlTable> named;  ///< for each patch the layer that first gives its area
};

/// @param frame  the chip's material: its expansion decides the stress at another temperature
[[nodiscard]] ReadFilm read_film(const DesignSection& section, const Materials& materials, const Solid& frame);

/// What several areas on one film and the outline must keep. @throws InputError naming the layer
void require_room(const ReadFilm& film, const Outline& outline, bool holes);

}  // namespace tymbal
