// [release] of a design, and what the wet etch does to outline and film.
#pragma once

#include "design_table.h"

#include "tymbal/base/material.h"
#include "tymbal/film/film.h"
#include "tymbal/release/release.h"

namespace tymbal {

/// @throws InputError for rows that do not exist, an etchant that does not attack the sacrificial layer, or both
/// undercut
///                    and time
[[nodiscard]] Release read_release(const DesignSection& section, const Materials& materials);

/// The outline that the fronts from the pattern's holes enclose. @param section  [outline] with shape = "hole-field"
/// @throws InputError when holes or undercut are missing, or there are more holes than `most_holes`
[[nodiscard]] Released read_hole_field(const DesignSection& section, const std::optional<HolePattern>& holes,
                                       const std::optional<Release>& release, const std::string& film_row,
                                       std::size_t most_holes);

/// @param section  [holes]
/// @throws InputError when fronts would have to be drawn round more holes than the user allows
void require_few_holes(std::size_t count, std::size_t most, const DesignSection& section);

/// @param loss  m, of the film's thickness
/// @throws InputError when no film is left
void require_film_left(const Film& deposited, double loss, const DesignSection& section);

/// The film after the wet etch: thinner by the mean loss, its deviation with that of the loss.
/// @throws InputError when no film is left
[[nodiscard]] Film thinned(const Film& deposited, const FilmLoss& loss, const DesignSection& section);

}  // namespace tymbal
