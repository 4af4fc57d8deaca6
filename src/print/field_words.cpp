#include "field_words.h"

#include "../text/figures.h"

namespace tymbal {

namespace {

std::string um(double metres) {
    return plain(1e6 * metres, 5);
}

std::string nm(double metres) {
    return plain(1e9 * metres, 3) + " nm";
}

std::string either(const FieldSide& side) {
    return (side.smaller ? um(*side.smaller) + " or " : std::string()) + um(side.larger);
}

}  // namespace

std::string field_filled(const FieldFit& f) {
    return um(f.width.asked) + " x " + um(f.height.asked) + " um, of which whole holes fill " + um(f.width.filled) +
           " x " + um(f.height.filled) + " um";
}

std::string next_fields(const FieldFit& f) {
    return either(f.width) + " um wide, " + either(f.height) + " um high";
}

std::string thickness_words(const ReleasedFilm& f) {
    const std::string now =
        f.thickness_std_m > 0.0 ? with_uncertainty(f.thickness_m, f.thickness_std_m, 1e-9) + " nm" : nm(f.thickness_m);
    return f.taken ? nm(f.deposited_m) + " deposited, " + now + " as released" : now;
}

std::string taken_words(const ReleasedFilm& f) {
    if (!f.taken) return "";
    return nm(f.taken->above) + " from above; from below " + nm(f.taken->below_mean) + " in the mean, " +
           nm(f.taken->below_at_holes) + " at the holes";
}

}  // namespace tymbal
