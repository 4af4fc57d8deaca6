#include "tymbal/light/lines.h"

#include "../base/plain.h"
#include "lattice_poles.h"

#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace tymbal {

namespace {

using namespace fourier;

constexpr double same_line = 0.02;  // relative distance within which two truncations mean one line

std::optional<LatticePole> partner(const LatticePole& pole, const std::vector<LatticePole>& others) {
    std::optional<LatticePole> best;
    double nearest = same_line * pole.wavenumber.real();
    for (const LatticePole& other : others) {
        const double apart = std::abs(other.wavenumber - pole.wavenumber);
        if (other.function != pole.function || apart > nearest) continue;
        nearest = apart;
        best = other;
    }
    return best;
}

/// Are the guided fields of these amplitudes beside the film rather electric along it (H_z) than magnetic (E_z)?
Guided guided_field(const CellMatrices& cell, const Eigen::VectorXcd& e, const Light& light) {
    const Eigen::VectorXcd h = admittance(cell, 1.0, light) * e;
    const Eigen::Index n = cell.ex.cols(), m = cell.ey.cols();
    const Eigen::VectorXcd ex = cell.ex * e.head(n), ey = cell.ey * e.tail(m);
    const Eigen::VectorXcd hx = cell.ex * h.head(n), hy = cell.ey * h.tail(m);
    double electric = 0.0, magnetic = 0.0;
    for (Eigen::Index k = 0; k < ex.size(); ++k) {
        const Order& g = cell.orders[static_cast<std::size_t>(k)];
        electric += std::norm(g.y * ex[k] - g.x * ey[k]);
        magnetic += std::norm(g.x * hx[k] + g.y * hy[k]);
    }
    return electric >= magnetic ? Guided::te : Guided::tm;
}

Guided guided_at(const LatticeProblem& problem, const CellMatrices& cell, const LatticePole& pole, bool symmetric) {
    const double nu = pole.wavenumber.real();
    const Layers film = scaled_layers(problem.film(problem.holes.pitch_m / nu), problem.holes.pitch_m);
    const Light light{2.0 * constants::pi * nu};
    const Scattered s = scatter(cell, film, light, field_along(problem.field));
    if (!symmetric) return guided_field(cell, s.r, light);
    const double sign = pole.function == 0 ? 1.0 : -1.0;
    return guided_field(cell, s.r + sign * s.t, light);
}

ResonanceLine line_of(const LatticeProblem& problem, const LatticePole& coarse, const LatticePole& fine, double step) {
    const double pitch = problem.holes.pitch_m;
    const auto wavelength = [&](const LatticePole& p) { return pitch / p.wavenumber.real(); };
    const auto width = [&](const LatticePole& p) { return wavelength(p) / q_of(p.wavenumber); };
    ResonanceLine out;
    const double moved = step * (wavelength(fine) - wavelength(coarse));
    out.field = problem.field;
    out.wavelength_m = wavelength(fine) + moved;
    out.error_m = doubt * std::abs(moved);
    out.width_m = std::max(0.5 * width(fine), width(fine) + step * (width(fine) - width(coarse)));
    out.q = out.wavelength_m / out.width_m;
    return out;
}

void lines_of_field(const LatticeProblem& problem, WavelengthRange range, Truncation truncation,
                    std::vector<ResonanceLine>& out) {
    const Cell cell = scaled_cell(problem.holes);
    const CellMatrices coarse = expand(cell, truncation.coarse, parity_of(problem.field));
    const CellMatrices fine = expand(cell, truncation.fine, parity_of(problem.field));
    const bool symmetric = is_symmetric(scaled_layers(problem.film(range.from_m), problem.holes.pitch_m));
    for (const Band& band : bands_of(problem, range)) {
        const std::vector<LatticePole> few = poles_in(band, fit_band(problem, coarse, band), symmetric);
        for (const LatticePole& pole : poles_in(band, fit_band(problem, fine, band), symmetric)) {
            const std::optional<LatticePole> other = partner(pole, few);
            if (!other) continue;
            ResonanceLine line = line_of(problem, *other, pole, step_to_limit(coarse, fine));
            line.guided = guided_at(problem, coarse, *other, symmetric);
            if (symmetric) line.even = pole.function == 0;
            out.push_back(line);
        }
    }
}

std::vector<LightField> fields_of(const HoleLattice& holes) {
    if (alike_along_and_across(holes)) return {LightField::along};
    return {LightField::along, LightField::across};
}

void require_range(const HoleLattice& holes, const LayeredFilmAt& film, WavelengthRange range) {
    if (!(range.from_m > 0.0) || !(range.to_m > range.from_m))
        throw NoAnswer("a range of wavelengths must rise from above zero");
    constexpr double rounding = 1e-9;
    // In vacuum first: thresholds of a range far below would be many.
    const double in_vacuum = diffraction_limit_m(holes) * (1.0 - rounding);
    const double limit = range.from_m < in_vacuum ? in_vacuum : first_threshold_m({holes, film}, range);
    if (range.from_m >= limit * (1.0 - rounding)) return;
    throw NoAnswer("the film diffracts below " + plain(limit * 1e9, 6) +
                   " nm, and lines are looked for above that wavelength only; begin the range there, or make "
                   "holes.pitch smaller");
}

/// The neighbouring lattice or film with one quantity changed by a relative step.
struct Variation {
    HoleLattice holes;
    double thickness = 1.0, index = 1.0;  ///< factors on the lowest layer's
};

LayeredFilmAt varied(const LayeredFilmAt& film, const Variation& by) {
    return [&film, by](double wavelength_m) {
        LayeredFilm out = film(wavelength_m);
        out.layers.back().thickness_m *= by.thickness;
        out.layers.back().index = {out.layers.back().index.real() * by.index, out.layers.back().index.imag()};
        return out;
    };
}

/// Wavenumbers of the poles of one variation, for one field, coarse: slopes need no more.
std::vector<LatticePole> poles_of(const Variation& by, const LayeredFilmAt& film, LightField field,
                                  WavelengthRange range) {
    const LayeredFilmAt other = varied(film, by);
    const LatticeProblem problem{by.holes, other, field};
    const double reach = Truncation{}.coarse;
    const CellMatrices cell = expand(scaled_cell(by.holes), reach, parity_of(field));
    std::vector<LatticePole> out = poles_between(problem, cell, range);
    for (LatticePole& pole : out) pole.wavenumber /= by.holes.pitch_m;  // 1/m: pitches differ between variations
    return out;
}

/// d wavelength by the factor's logarithm, from both sides.
std::optional<double> slope_between(const LatticePole& at, const std::vector<LatticePole>& less,
                                    const std::vector<LatticePole>& more, double step) {
    const std::optional<LatticePole> low = partner(at, less), high = partner(at, more);
    if (!low || !high) return std::nullopt;
    return (1.0 / high->wavenumber.real() - 1.0 / low->wavenumber.real()) / (2.0 * step);
}

constexpr double variation_step = 1e-3;

/// Poles of the lattice itself, and with a little less and more of pitch, size, thickness and index.
struct Neighbours {
    std::vector<LatticePole> here;
    std::vector<std::pair<std::vector<LatticePole>, std::vector<LatticePole>>> beside;
};

Neighbours neighbours_of(const HoleLattice& holes, const LayeredFilmAt& film, LightField field, WavelengthRange range) {
    const auto at = [&](double pitch, double size, double thickness, double index) {
        return poles_of({{holes.lattice, holes.shape, holes.pitch_m * pitch, holes.size_m * size}, thickness, index},
                        film, field, range);
    };
    const double less = 1.0 - variation_step, more = 1.0 + variation_step;
    return {at(1, 1, 1, 1),
            {{at(less, 1, 1, 1), at(more, 1, 1, 1)},
             {at(1, less, 1, 1), at(1, more, 1, 1)},
             {at(1, 1, less, 1), at(1, 1, more, 1)},
             {at(1, 1, 1, less), at(1, 1, 1, more)}}};
}

std::optional<LineSlopes> slopes_of(const ResonanceLine& line, const Neighbours& n, const HoleLattice& holes,
                                    const LayeredFilm& film) {
    const double nu = 1.0 / line.wavelength_m;
    const std::size_t function = line.even && !*line.even ? 1 : 0;
    const std::optional<LatticePole> here = partner({function, {nu, -0.5 * nu / line.q}}, n.here);
    if (!here) return std::nullopt;
    std::vector<double> by;
    for (const auto& [less, more] : n.beside) {
        const std::optional<double> slope = slope_between(*here, less, more, variation_step);
        if (!slope) return std::nullopt;
        by.push_back(*slope);
    }
    return LineSlopes{by[0] / holes.pitch_m, by[1] / holes.size_m, by[2] / film.layers.back().thickness_m,
                      by[3] / film.layers.back().index.real()};
}

}  // namespace

std::vector<ResonanceLine> find_lines(const HoleLattice& holes, const LayeredFilmAt& film, WavelengthRange range,
                                      Truncation truncation) {
    require_range(holes, film, range);
    std::vector<ResonanceLine> out;
    for (const LightField field : fields_of(holes)) lines_of_field({holes, film, field}, range, truncation, out);
    std::sort(out.begin(), out.end(),
              [](const ResonanceLine& a, const ResonanceLine& b) { return a.wavelength_m < b.wavelength_m; });
    return out;
}

std::vector<std::optional<LineSlopes>> line_slopes(const HoleLattice& holes, const LayeredFilmAt& film,
                                                   WavelengthRange range, const std::vector<ResonanceLine>& lines) {
    require_range(holes, film, range);
    std::vector<std::optional<LineSlopes>> out(lines.size());
    for (const LightField field : fields_of(holes)) {
        const Neighbours n = neighbours_of(holes, film, field, range);
        for (std::size_t k = 0; k < lines.size(); ++k)
            if (lines[k].field == field) out[k] = slopes_of(lines[k], n, holes, film(lines[k].wavelength_m));
    }
    return out;
}

}  // namespace tymbal
