#include "tymbal/film/film.h"

#include <cmath>
#include <limits>

namespace tymbal {

double bending_stiffness_n_m(const Film& film) {
    const double h = film.thickness.si();
    const double nu = film.poisson_ratio.si();
    return film.youngs_modulus.si() * h * h * h / (12.0 * (1.0 - nu * nu));
}

double tension_n_per_m(const Film& film) {
    return film.stress.si() * film.thickness.si();
}

double edge_layer_m(const Film& film) {
    const double tension = tension_n_per_m(film);
    if (tension <= 0.0) return std::numeric_limits<double>::infinity();
    return std::sqrt(bending_stiffness_n_m(film) / tension);
}

}  // namespace tymbal
