// The film whose intrinsic loss is that of the places where a mode bends it, patches included.
#pragma once

#include "tymbal/film/patch.h"
#include "tymbal/modes/modes.h"

#include <vector>

namespace tymbal {

/// The film with the intrinsic quality that this mode meets: losses of film and patches weighed by where it bends.
/// Bending energy in a patch from second differences of the shape on its raster, Gaussian curvature included.
[[nodiscard]] Film film_as_bent(const Film& film, const std::vector<FilmPatch>& patches, const Mode& mode);

/// Share of the mode's bending energy that lies in a patch, 0 to 1.
[[nodiscard]] double bending_share(const FilmPatch& patch, const Mode& mode);

}  // namespace tymbal
