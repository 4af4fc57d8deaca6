// Layers over a part of the film: the polygon they cover and the film that they make there.
#pragma once

#include "tymbal/film/film.h"
#include "tymbal/geometry/outline.h"

#include <vector>

namespace tymbal {

struct FilmPatch {
    std::vector<Point> area;        ///< simple polygon, counter-clockwise
    Film film;                      ///< all layers there as one equivalent film, see film/laminate.h
    std::vector<FilmLayer> layers;  ///< those that lie here and not everywhere
    double moment_n = 0.0;          ///< of their stresses about the neutral plane, see Laminate
};

}  // namespace tymbal
