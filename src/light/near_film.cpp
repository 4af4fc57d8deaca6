#include "tymbal/light/near_film.h"

#include <algorithm>

namespace tymbal {

namespace {

constexpr Truncation few_orders{2.5, 3.5};

/// What few orders get wrong of one field.
struct Correction {
    std::complex<double> even = 1.0, odd = 1.0;  ///< factors on r + t and r - t
    double reflectivity = 0.0;                   ///< sum, for films that are not alike from both sides
};

Correction correction(const FieldResponse& few, const FieldResponse& all) {
    return {(all.front + all.through) / (few.front + few.through),
            (all.front - all.through) / (few.front - few.through), all.reflectivity - few.reflectivity};
}

FieldResponse corrected(FieldResponse film, const Correction& by, bool symmetric) {
    if (!symmetric) {
        film.reflectivity = std::clamp(film.reflectivity + by.reflectivity, 0.0, 1.0);
        return film;
    }
    const std::complex<double> even = by.even * (film.front + film.through), odd = by.odd * (film.front - film.through);
    film.front = film.back = 0.5 * (even + odd);
    film.through = 0.5 * (even - odd);
    film.reflectivity = std::min(1.0, std::norm(film.front));
    film.transmission = std::min(1.0, std::norm(film.through));
    return film;
}

}  // namespace

LatticeSolver solver_near(const LatticeLight& film, const LatticeSolver& solve) {
    const SeenFilm few = see_truncated(film, few_orders), all = solve(film);
    const Correction along = correction(few.along, all.along), across = correction(few.across, all.across);
    return [along, across](const LatticeLight& other) {
        const SeenFilm seen = see_truncated(other, few_orders);
        const bool symmetric = other.layers.size() == 1;
        return unpolarised(corrected(seen.along, along, symmetric), corrected(seen.across, across, symmetric));
    };
}

}  // namespace tymbal
