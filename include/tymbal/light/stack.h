// Plane layers under light at normal incidence: what they reflect, pass on and absorb, by transfer matrices.
#pragma once

#include <complex>
#include <vector>

namespace tymbal {

using ComplexIndex = std::complex<double>;  ///< n + i k, time dependence exp(-i omega t)

struct OpticalLayer {
    ComplexIndex index;
    double thickness_m = 0.0;
};

/// Layers in the order in which the light meets them, between two half-spaces.
struct OpticalStack {
    ComplexIndex above = 1.0;  ///< where the light comes from; real
    std::vector<OpticalLayer> layers;
    ComplexIndex below = 1.0;
};

struct StackResponse {
    std::complex<double> r;     ///< field reflected at the first surface
    std::complex<double> t;     ///< field that enters the half-space below
    double reflectivity = 0.0;  ///< of power
    double transmission = 0.0;  ///< power that enters the half-space below
    double absorption = 0.0;    ///< power left in the layers
};

/// Characteristic matrices. Source: Born and Wolf, Principles of Optics, section 1.6 (from memory, re-derived).
[[nodiscard]] StackResponse respond(const OpticalStack& stack, double wavelength_m);

}  // namespace tymbal
