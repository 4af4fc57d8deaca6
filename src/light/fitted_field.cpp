#include "fitted_field.h"

#include <algorithm>
#include <cmath>

namespace tymbal::fourier {

namespace {

/// @param index  real part of the index below
ZeroOrder zero_order(const AdaptiveFit& fit, double angle, bool symmetric, double index) {
    const Complex first = fit.fits[0](angle), second = fit.fits[1](angle);
    const Complex r = symmetric ? 0.5 * (first + second) : first, t = symmetric ? 0.5 * (first - second) : second;
    return {r, t, std::norm(r), index * std::norm(t)};
}

}  // namespace

FittedField::FittedField(const LatticeProblem& problem, WavelengthRange range) : pitch_m_(problem.holes.pitch_m) {
    const Cell cell = scaled_cell(problem.holes);
    const Truncation reach = beyond_running({}, pitch_m_ / range.from_m);
    const CellMatrices coarse = expand(cell, reach.coarse, parity_of(problem.field)),
                       fine = expand(cell, reach.fine, parity_of(problem.field));
    step_ = step_to_limit(coarse, fine);
    for (const Band& band : bands_of(problem, range))
        bands_.push_back({band, fit_band(problem, coarse, band), fit_band(problem, fine, band)});
}

const FittedField::FittedBand& FittedField::band_at(double wavenumber) const {
    for (const FittedBand& b : bands_)
        if (wavenumber <= b.band.high) return b;
    return bands_.back();
}

int FittedField::solutions() const {
    int sum = 0;
    for (const FittedBand& b : bands_) sum += static_cast<int>(b.fine.samples.front().at.size());
    return sum;
}

FittedOrder FittedField::at(double wavelength_m, const LayeredFilm& film) const {
    const double nu = pitch_m_ / wavelength_m;
    const FittedBand& b = band_at(nu);
    const bool symmetric = is_symmetric(scaled_layers(film, pitch_m_));
    const double angle = b.band.angle(nu), index = film.below ? film.below->real() : 1.0;
    const ZeroOrder few = zero_order(b.coarse, angle, symmetric, index);
    const ZeroOrder many = zero_order(b.fine, angle, symmetric, index);
    const ZeroOrder limit = limit_of(few, many, step_, symmetric);
    return {limit.r, limit.t, limit.reflectivity, limit.transmission,
            truncation_error(few, many, step_) + b.fine.error + b.coarse.error};
}

}  // namespace tymbal::fourier
