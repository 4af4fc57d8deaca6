#include "band_fit.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

using namespace fourier;

struct Amplitudes {
    Complex r, t;
};

Amplitudes amplitudes(const AdaptiveFit& fit, double angle, bool symmetric) {
    const Complex first = fit.fits[0](angle), second = fit.fits[1](angle);
    if (!symmetric) return {first, second};
    return {0.5 * (first + second), 0.5 * (first - second)};
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
    const Amplitudes few = amplitudes(b.coarse, angle, symmetric), many = amplitudes(b.fine, angle, symmetric);
    const auto limit = [&](Complex coarse, Complex fine) {
        return std::norm(fine) + step * (std::norm(fine) - std::norm(coarse));
    };
    out.reflectivity.push_back(std::clamp(limit(few.r, many.r), 0.0, 1.0));
    out.transmission.push_back(std::clamp(index * limit(few.t, many.t), 0.0, 1.0));
    const double moved =
        std::max(std::abs(many.r) * std::abs(many.r - few.r), index * std::abs(many.t) * std::abs(many.t - few.t));
    out.error.push_back(2.0 * doubt * step * moved + b.fine.error + b.coarse.error);
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
