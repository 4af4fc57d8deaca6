// One field's zero order over a range of wavelengths, from rational fits at two truncations.
#pragma once

#include "band_fit.h"

#include <vector>

namespace tymbal::fourier {

/// What two truncations tend to.
struct FittedOrder {
    Complex r, t;
    double reflectivity = 0.0, transmission = 0.0;
    double error = 0.0;  ///< of both powers, by truncation and fit
};

class FittedField {
public:
    /// @throws NoAnswer  as respond
    FittedField(const LatticeProblem& problem, WavelengthRange range);

    /// @param film  at this wavelength, which lies in the range
    [[nodiscard]] FittedOrder at(double wavelength_m, const LayeredFilm& film) const;
    [[nodiscard]] int solutions() const;  ///< of the field equation, per truncation

private:
    struct FittedBand {
        Band band;
        AdaptiveFit coarse, fine;
    };
    [[nodiscard]] const FittedBand& band_at(double wavenumber) const;

    double pitch_m_;
    double step_;
    std::vector<FittedBand> bands_;
};

}  // namespace tymbal::fourier
