// Poles of what a lattice reflects over a band of wavelengths.
#pragma once

#include "band_fit.h"

#include <vector>

namespace tymbal::fourier {

struct LatticePole {
    std::size_t function = 0;  ///< of the fit
    Complex wavenumber;        ///< pitch/wavelength
};

[[nodiscard]] double q_of(Complex wavenumber);

/// Those with a Q of at least 8 and a residue that is seen; of the even and the odd function where both faces see the
/// same, else of the reflection.
[[nodiscard]] std::vector<LatticePole> poles_in(const Band& band, const AdaptiveFit& fit, bool symmetric);

/// Of all bands of a range, at one truncation.
[[nodiscard]] std::vector<LatticePole> poles_between(const LatticeProblem& problem, const CellMatrices& cell,
                                                     WavelengthRange range);

}  // namespace tymbal::fourier
