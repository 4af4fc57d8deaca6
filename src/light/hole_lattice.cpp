#include "tymbal/light/hole_lattice.h"

#include "scaled.h"

#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace fourier {

Cell scaled_cell(const HoleLattice& holes) {
    if (holes.lattice == Lattice::list)
        throw NoAnswer("a list of holes has no unit cell, so its reflection of light is not computed");
    Cell cell = cell_of(holes.lattice, holes.shape, 1.0, holes.size_m / holes.pitch_m);
    if (!(holes.size_m > 0.0) || !(growth_until_touching(cell) > 1.0))
        throw NoAnswer("neighbouring holes touch; light on the lattice needs film between them");
    return cell;
}

Layers scaled_layers(const LayeredFilm& film, double pitch_m) {
    if (film.layers.empty()) throw NoAnswer("light on a hole lattice needs a film of at least one layer");
    Layers out;
    for (const OpticalLayer& layer : film.layers)
        out.layers.push_back({{layer.index * layer.index, 1.0}, layer.thickness_m / pitch_m});
    if (!film.below) return out;
    if (film.gap_m > 0.0) out.layers.push_back({{1.0, 1.0}, film.gap_m / pitch_m, false});
    out.below = *film.below * *film.below;
    return out;
}

Truncation beyond_running(Truncation truncation, double pitch_in_wavelengths) {
    constexpr double largest = 8.0;
    if (pitch_in_wavelengths > largest)
        throw NoAnswer("the pitch is more than eight wavelengths; so coarse a lattice is not solved for light");
    const double more = std::max(0.0, pitch_in_wavelengths - 1.0);
    return {truncation.coarse + more, truncation.fine + more};
}

Parity parity_of(LightField field) {
    return field == LightField::along ? Parity{1, 1} : Parity{-1, -1};
}

FieldAlong field_along(LightField field) {
    return field == LightField::along ? FieldAlong::x : FieldAlong::y;
}

double step_to_limit(const CellMatrices& coarse, const CellMatrices& fine) {
    const auto few = static_cast<double>(coarse.orders.size()), many = static_cast<double>(fine.orders.size());
    return few / (many - few);
}

ZeroOrder limit_of(const ZeroOrder& coarse, const ZeroOrder& fine, double step, bool symmetric) {
    const auto share = [&](double a, double b) { return std::clamp(b + step * (b - a), 0.0, 1.0); };
    if (!symmetric)
        return {fine.r, fine.t, share(coarse.reflectivity, fine.reflectivity),
                share(coarse.transmission, fine.transmission)};
    const auto go_on = [&](Complex few, Complex many) {
        if (std::abs(few) == 0.0 || std::abs(many) == 0.0) return many;
        const Complex there = many * std::exp(step * std::log(many / few));
        return there / std::max(1.0, std::abs(there));
    };
    const Complex even = go_on(coarse.r + coarse.t, fine.r + fine.t), odd = go_on(coarse.r - coarse.t, fine.r - fine.t);
    const Complex r = 0.5 * (even + odd), t = 0.5 * (even - odd);
    return {r, t, std::norm(r), std::norm(t)};
}

/// Twice the step: the least that covered truncations far finer for holes of 0.4 to 0.85 pitches (tests/light).
constexpr double doubt_of_powers = 2.0;

double truncation_error(const ZeroOrder& coarse, const ZeroOrder& fine, double step) {
    const double seen = step * std::max(std::abs(fine.reflectivity - coarse.reflectivity),
                                        std::abs(fine.transmission - coarse.transmission));
    const Complex moved_r = fine.r - coarse.r, moved_t = fine.t - coarse.t;
    const double phases = step * (std::abs(moved_r + moved_t) + std::abs(moved_r - moved_t));
    const double possible = std::sqrt(fine.reflectivity * fine.transmission) * phases + 0.25 * phases * phases;
    return doubt_of_powers * std::max(seen, possible);
}

namespace {

LatticeResponse at_truncation(const CellMatrices& cell, const Layers& film, const Light& light, FieldAlong field) {
    const Scattered s = scatter(cell, film, light, field);
    const Eigen::VectorXd up = power_by_order(cell, s.r, film.above, light);
    const Eigen::VectorXd down = power_by_order(cell, s.t, film.below, light);
    LatticeResponse out;
    out.r = s.r[incident(cell, field)];
    out.t = s.t[incident(cell, field)];
    out.reflectivity = up[0];
    out.transmission = down[0];
    out.diffracted_up = up.sum() - up[0];
    out.diffracted_down = down.sum() - down[0];
    out.absorption = 1.0 - up.sum() - down.sum();
    return out;
}

ZeroOrder zero_order_of(const LatticeResponse& all) {
    return {all.r, all.t, all.reflectivity, all.transmission};
}

LatticeResponse limit(const LatticeResponse& coarse, const LatticeResponse& fine, double step, bool symmetric) {
    const auto share = [&](double a, double b) { return std::max(0.0, b + step * (b - a)); };
    const ZeroOrder zero = limit_of(zero_order_of(coarse), zero_order_of(fine), step, symmetric);
    LatticeResponse out;
    out.r = zero.r;
    out.t = zero.t;
    out.diffracted_up = share(coarse.diffracted_up, fine.diffracted_up);
    out.diffracted_down = share(coarse.diffracted_down, fine.diffracted_down);
    out.absorption = share(coarse.absorption, fine.absorption);
    // The small shares keep their digits; the two large ones take what those leave.
    const double large = zero.reflectivity + zero.transmission;
    const double left = std::max(0.0, 1.0 - out.diffracted_up - out.diffracted_down - out.absorption);
    out.reflectivity = large > 0.0 ? left * zero.reflectivity / large : 0.0;
    out.transmission = left - out.reflectivity;
    out.error = truncation_error(zero_order_of(coarse), zero_order_of(fine), step);
    return out;
}

}  // namespace

}  // namespace fourier

LatticeResponse respond(const HoleLattice& holes, const LayeredFilm& film, double wavelength_m, LightField field,
                        Truncation truncation) {
    using namespace fourier;
    const Cell cell = scaled_cell(holes);
    const Layers layers = scaled_layers(film, holes.pitch_m);
    const Light light{2.0 * constants::pi * holes.pitch_m / wavelength_m};
    const Truncation reach = beyond_running(truncation, holes.pitch_m / wavelength_m);
    const CellMatrices coarse = expand(cell, reach.coarse, parity_of(field));
    const CellMatrices fine = expand(cell, reach.fine, parity_of(field));
    LatticeResponse out = limit(at_truncation(coarse, layers, light, field_along(field)),
                                at_truncation(fine, layers, light, field_along(field)), step_to_limit(coarse, fine),
                                is_symmetric(layers));
    const double largest = std::max(1.0, std::sqrt(layers.below).real());
    out.diffracts = wavelength_m < largest * diffraction_limit_m(holes);
    return out;
}

bool alike_along_and_across(const HoleLattice& holes) {
    switch (holes.shape) {
        case HoleShape::circle: return true;
        case HoleShape::square: return holes.lattice == Lattice::square;
        case HoleShape::hexagon: return holes.lattice != Lattice::square;
    }
    return false;
}

double diffraction_limit_m(const HoleLattice& holes) {
    return 2.0 * constants::pi / fourier::shortest_g(fourier::scaled_cell(holes)) * holes.pitch_m;
}

double coupling_across(const HoleLattice& holes, double wavelength_m, double gap_m) {
    const double limit = 1.0 / diffraction_limit_m(holes), wave = 1.0 / wavelength_m;
    const double fading = 2.0 * constants::pi * std::sqrt(std::max(0.0, limit * limit - wave * wave));
    return std::exp(-2.0 * fading * gap_m);
}

}  // namespace tymbal
