// What the etch leaves of the film as deposited, what hangs free, and how whole holes fill the field asked for.
#pragma once

#include "tymbal/base/warning.h"
#include "tymbal/task/device.h"

#include <optional>

namespace tymbal {

/// One side of holes.field, m. Whole holes leave part of it empty.
struct FieldSide {
    double asked = 0.0;
    double filled = 0.0;            ///< outermost hole edge to edge
    std::optional<double> smaller;  ///< the largest side that holds a row or column less
    double larger = 0.0;            ///< the least side that holds one more
};

struct FieldFit {
    FieldSide width, height;
};

struct ReleasedFilm {
    double deposited_m = 0.0;  ///< thickness
    double thickness_m = 0.0;  ///< left, mean over the suspended film
    double thickness_std_m = 0.0;
    std::optional<FilmLoss> taken;         ///< by the etch; empty when nothing is known to be
    double width_m = 0.0, height_m = 0.0;  ///< of the outline
    bool set_free = false;                 ///< the outline is what the etch sets free
    std::optional<FieldFit> field;
};

[[nodiscard]] ReleasedFilm released_film(const Device& device);

/// How the design's field is filled; empty without holes.field.
[[nodiscard]] std::optional<FieldFit> field_fit(const Device& device);

/// When much of the film is gone, or none is left at the edges of the holes.
[[nodiscard]] Warnings thinning_warnings(const ReleasedFilm& film);

}  // namespace tymbal
