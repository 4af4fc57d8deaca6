#include "band_fit.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

using namespace fourier;

/// @param index  real part of the index below
ZeroOrder zero_order(const AdaptiveFit& fit, double angle, bool symmetric, double index) {
    const Complex first = fit.fits[0](angle), second = fit.fits[1](angle);
    const Complex r = symmetric ? 0.5 * (first + second) : first, t = symmetric ? 0.5 * (first - second) : second;
    return {r, t, std::norm(r), index * std::norm(t)};
}

struct FittedBand {
    Band band;
    AdaptiveFit coarse, fine;
};

std::vector<FittedBand> fit_bands(const LatticeProblem& problem, WavelengthRange range, const CellMatrices& coarse,
                                  const CellMatrices& fine) {
    std::vector<FittedBand> out;
    for (const Band& band : bands_of(problem, range))
        out.push_back({band, fit_band(problem, coarse, band), fit_band(problem, fine, band)});
    return out;
}

const FittedBand& band_at(const std::vector<FittedBand>& bands, double nu) {
    for (const FittedBand& b : bands)
        if (nu <= b.band.high) return b;
    return bands.back();
}

void add_point(const FittedBand& b, double nu, double step, const LatticeFilm& film, LatticeSpectrum& out) {
    const bool symmetric = is_symmetric(scaled_layers(film, 1.0));
    const double angle = b.band.angle(nu), index = film.below ? film.below->real() : 1.0;
    const ZeroOrder few = zero_order(b.coarse, angle, symmetric, index);
    const ZeroOrder many = zero_order(b.fine, angle, symmetric, index);
    const auto limit = [&](double coarse, double fine) { return std::clamp(fine + step * (fine - coarse), 0.0, 1.0); };
    out.reflectivity.push_back(limit(few.reflectivity, many.reflectivity));
    out.transmission.push_back(limit(few.transmission, many.transmission));
    out.error.push_back(truncation_error(few, many, step) + b.fine.error + b.coarse.error);
}

}  // namespace

LatticeSpectrum spectrum(const HoleLattice& holes, const LatticeFilmAt& film, WavelengthRange range, int points,
                         LightField field) {
    const LatticeProblem problem{holes, film, field};
    const Cell cell = scaled_cell(holes);
    const Truncation reach = beyond_running({}, holes.pitch_m / range.from_m);
    const CellMatrices coarse = expand(cell, reach.coarse, parity_of(field)),
                       fine = expand(cell, reach.fine, parity_of(field));
    const std::vector<FittedBand> bands = fit_bands(problem, range, coarse, fine);
    LatticeSpectrum out;
    for (const FittedBand& b : bands) out.solutions += static_cast<int>(b.fine.samples.front().at.size());
    const double step = step_to_limit(coarse, fine);
    for (int k = 0; k < points; ++k) {
        const double wavelength = range.from_m + (range.to_m - range.from_m) * k / (points - 1);
        const double nu = holes.pitch_m / wavelength;
        out.wavelength_m.push_back(wavelength);
        add_point(band_at(bands, nu), nu, step, film(wavelength), out);
    }
    return out;
}

}  // namespace tymbal
