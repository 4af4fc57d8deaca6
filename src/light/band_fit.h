// What a lattice reflects over a band of wavelengths, as rational fits at one truncation.
#pragma once

#include "rational_fit.h"
#include "scaled.h"

#include "tymbal/light/lines.h"

#include <vector>

namespace tymbal::fourier {

/// Wavenumbers pitch/wavelength between which no order begins to run away. At both ends the response may depend on the
/// root of the distance; in the angle of nu = middle - half cos(angle) it is smooth there.
struct Band {
    double low = 0.0, high = 0.0;
    [[nodiscard]] Complex wavenumber(Complex angle) const;
    [[nodiscard]] double angle(double wavenumber) const;
    [[nodiscard]] Complex slope(Complex angle) const;  ///< d wavenumber/d angle
};

struct LatticeProblem {
    const HoleLattice& holes;
    const LayeredFilmAt& film;
    LightField field = LightField::along;
};

/// Bands that make up the range, by rising wavenumber.
[[nodiscard]] std::vector<Band> bands_of(const LatticeProblem& problem, WavelengthRange range);

/// The longest wavelength at which an order begins to run away, above or below, m.
[[nodiscard]] double first_threshold_m(const LatticeProblem& problem, WavelengthRange range);

/// Functions of the angle: zero order for light from both sides, alike and opposite, where both faces see the same;
/// else reflection and transmission.
[[nodiscard]] AdaptiveFit fit_band(const LatticeProblem& problem, const CellMatrices& cell, const Band& band);

}  // namespace tymbal::fourier
