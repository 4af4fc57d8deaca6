#include "patch_loss.h"

#include "tymbal/quality/material_loss.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace tymbal {

namespace {

/// Even-odd rule.
bool inside(const std::vector<Point>& polygon, Point p) {
    bool in = false;
    for (std::size_t k = 0; k < polygon.size(); ++k) {
        const Point a = polygon[k], b = polygon[(k + 1) % polygon.size()];
        if ((a.y > p.y) != (b.y > p.y) && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x)) in = !in;
    }
    return in;
}

double inverse_quality(const Film& film) {
    return 1.0 / film.quality_volume.si() + 1.0 / (film.quality_surface.si() * film.thickness.si());
}

}  // namespace

double bending_share(const FilmPatch& patch, const Mode& mode) {
    const ShapeRaster& s = mode.shape;
    const double nu = patch.film.poisson_ratio.si();
    const auto at = [&](int i, int j) { return s.w[static_cast<std::size_t>(i + s.columns * j)]; };
    double sum = 0.0;
    for (int j = 1; j + 1 < s.rows; ++j)
        for (int i = 1; i + 1 < s.columns; ++i) {
            if (!inside(patch.area, {s.x0 + i * s.dx, s.y0 + j * s.dy})) continue;
            const double xx = (at(i + 1, j) - 2.0 * at(i, j) + at(i - 1, j)) / (s.dx * s.dx);
            const double yy = (at(i, j + 1) - 2.0 * at(i, j) + at(i, j - 1)) / (s.dy * s.dy);
            const double xy =
                (at(i + 1, j + 1) - at(i + 1, j - 1) - at(i - 1, j + 1) + at(i - 1, j - 1)) / (4.0 * s.dx * s.dy);
            sum += (xx + yy) * (xx + yy) - 2.0 * (1.0 - nu) * (xx * yy - xy * xy);
        }
    const double energy = bending_stiffness_n_m(patch.film) * sum * s.dx * s.dy;
    const double all = mode.integrals.bending_interior + mode.integrals.bending_edge;
    return all > 0.0 ? std::clamp(energy / all, 0.0, 1.0) : 0.0;
}

Film film_as_bent(const Film& film, const std::vector<FilmPatch>& patches, const Mode& mode) {
    if (patches.empty()) return film;
    double loss = inverse_quality(film);
    for (const FilmPatch& patch : patches)
        loss += bending_share(patch, mode) * (inverse_quality(patch.film) - inverse_quality(film));
    // The relative uncertainty stays the film's own; what the patches add is known to its order of magnitude.
    const double relative = film.quality_volume.deviation_si() / film.quality_volume.si();
    const Source source{"film and patches, weighed by where the mode bends", Origin::derived};
    Film out = film;
    out.quality_volume = {Ratio::from_si(1.0 / loss), Ratio::from_si(relative / loss), source};
    out.quality_surface = {InverseLength::from_si(1e30), InverseLength::from_si(0.0), source};
    return out;
}

}  // namespace tymbal
