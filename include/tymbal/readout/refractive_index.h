// Refractive indices as light meets them: of a dispersion record at a wavelength, and averaged over holes.
#pragma once

#include "tymbal/base/material.h"

#include <complex>

namespace tymbal {

/// Index of a dispersion record at a wavelength.
/// @return n; `inside` tells whether the wavelength lies in the source's range (a constant has none)
struct IndexAt {
    double n = 1.0;
    double deviation = 0.0;
    bool inside = true;
    double extinction = 0.0;  ///< imaginary part where the record's points give one
};
[[nodiscard]] IndexAt index_at(const Dispersion& dispersion, double wavelength_m);

/// Effective index of a film with a fraction of it open, electric field in the plane of the film
/// (two-dimensional Maxwell Garnett with circular voids; only for pitch well below the wavelength).
[[nodiscard]] std::complex<double> perforated_index(std::complex<double> solid, double open_fraction);

}  // namespace tymbal
