#include "lattice_poles.h"

#include "tymbal/base/constants.h"

#include <cmath>

namespace tymbal::fourier {

namespace {

constexpr double least_q = 8.0;
constexpr double least_strength = 1e-3;  // residue over half width; 2 for a clear film, less where light is absorbed

}  // namespace

double q_of(Complex wavenumber) {
    return -0.5 * wavenumber.real() / wavenumber.imag();
}

std::vector<LatticePole> poles_in(const Band& band, const AdaptiveFit& fit, bool symmetric) {
    std::vector<LatticePole> out;
    for (std::size_t f = 0; f < (symmetric ? 2U : 1U); ++f)
        for (const Pole& pole : poles(fit.fits[f])) {
            if (pole.at.real() <= 0.0 || pole.at.real() >= constants::pi) continue;
            const Complex nu = band.wavenumber(pole.at);
            const double strength = std::abs(pole.residue * band.slope(pole.at) / nu.imag());
            if (nu.imag() < 0.0 && q_of(nu) >= least_q && strength >= least_strength) out.push_back({f, nu});
        }
    return out;
}

std::vector<LatticePole> poles_between(const LatticeProblem& problem, const CellMatrices& cell, WavelengthRange range) {
    const bool symmetric = is_symmetric(scaled_layers(problem.film(range.from_m), problem.holes.pitch_m));
    std::vector<LatticePole> out;
    for (const Band& band : bands_of(problem, range))
        for (const LatticePole& pole : poles_in(band, fit_band(problem, cell, band), symmetric)) out.push_back(pole);
    return out;
}

}  // namespace tymbal::fourier
