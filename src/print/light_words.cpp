#include "light_words.h"

#include "../text/figures.h"

namespace tymbal {

namespace {

std::string explained(const LitFilm& film) {
    switch (film.as) {
        case SeenAs::plain: return "";
        case SeenAs::averaged: return " (index averaged over the holes)";
        case SeenAs::lattice: return " (lattice of holes, by Fourier modes of its cell)";
        case SeenAs::wide_holes: return " (rays that meet film or hole, zero order)";
    }
    return "";
}

}  // namespace

std::string name_of(SeenAs as) {
    switch (as) {
        case SeenAs::plain: return "plain";
        case SeenAs::averaged: return "averaged";
        case SeenAs::lattice: return "lattice";
        case SeenAs::wide_holes: return "wide holes";
    }
    return "";
}

std::string light_words(const LitFilm& film) {
    const SeenFilm& seen = film.seen;
    const bool known = seen.error > 0.0 && seen.error < 1.0;  // 1: an average outside its range
    return "reflects " +
           (known ? with_uncertainty(seen.reflectivity, seen.error, 100.0) : plain(100.0 * seen.reflectivity))
               .append(" %, transmits ")
               .append(plain(100.0 * seen.transmission))
               .append(" %")
               .append(explained(film));
}

std::string reflected_words(double reflectivity, double error) {
    return fixed(100.0 * reflectivity, 2)
        .append(" % +- ")
        .append(plain(100.0 * error, 2))
        .append(" (truncation alone)");
}

Json slab_json(const LitFilm& film) {
    const SeenFilm& seen = film.seen;
    return {{"reflectivity", number(seen.reflectivity)},
            {"transmission", number(seen.transmission)},
            {"absorption", number(seen.absorption)},
            {"diffracted", number(seen.diffracted)},
            {"error", film.as == SeenAs::averaged && seen.error >= 1.0 ? Json(nullptr) : number(seen.error)},
            {"seen_as", name_of(film.as)},
            {"chance_to_reflect", number(film.chance_to_reflect)}};
}

}  // namespace tymbal
