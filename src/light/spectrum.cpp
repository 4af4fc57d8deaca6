#include "fitted_field.h"

namespace tymbal {

LatticeSpectrum spectrum(const HoleLattice& holes, const LayeredFilmAt& film, WavelengthRange range, int points,
                         LightField field) {
    const fourier::FittedField fitted({holes, film, field}, range);
    LatticeSpectrum out;
    out.solutions = fitted.solutions();
    for (int k = 0; k < points; ++k) {
        const double wavelength = range.from_m + (range.to_m - range.from_m) * k / (points - 1);
        const fourier::FittedOrder order = fitted.at(wavelength, film(wavelength));
        out.wavelength_m.push_back(wavelength);
        out.reflectivity.push_back(order.reflectivity);
        out.transmission.push_back(order.transmission);
        out.error.push_back(order.error);
    }
    return out;
}

}  // namespace tymbal
