// The complex resonance of two mirrors with a film between them: how it follows the film, and what loses the light.
#pragma once

#include <complex>
#include <vector>

namespace tymbal {

/// What the cavity needs to know of a film: amplitudes at its two faces for light at normal incidence, exp(-i omega t),
/// and their derivatives by the angular frequency, s.
struct FilmAmplitudes {
    std::complex<double> reflected_front;  ///< light from the input mirror
    std::complex<double> reflected_back;   ///< light from the end mirror
    std::complex<double> transmitted;      ///< either way
    std::complex<double> front_slope, back_slope, transmitted_slope;
    double thickness_m = 0.0;  ///< between the faces
};

struct CavityMirror {
    double transmission = 0.0;  ///< of power
    double loss = 0.0;          ///< of power
};

struct CavityOptics {
    double wavelength_m = 0.0;
    double input_arm_m = 0.0;  ///< empty length between the input mirror and the film
    double end_arm_m = 0.0;
    CavityMirror input, end;
    bool film_is_end = false;  ///< no end mirror: what passes the film is lost
};

/// The resonance with the film at one place.
struct CavityPoint {
    double position_m = 0.0;                ///< away from the input mirror, counted from a turning point of `shift_hz`
    double shift_hz = 0.0;                  ///< of the resonance
    double linear_coupling_hz_per_m = 0.0;  ///< d(frequency)/d(position), signed
    double quadratic_coupling_hz_per_m2 = 0.0;  ///< second derivative, signed
    double kappa_hz = 0.0;                      ///< full width of the resonance
    double kappa_film_hz = 0.0;                 ///< its part that the film absorbs or sends aslant
    double kappa_input_hz = 0.0;                ///< its part that leaves through the input mirror
    double input_arm_energy = 0.0;              ///< per length, relative to that of both arms
    double end_arm_energy = 0.0;
};

/// Half a wavelength of the film's travel, after which all repeats.
struct HalfWavelength {
    std::vector<CavityPoint> points;  ///< evenly spaced, both ends included
    CavityPoint place;                ///< largest linear coupling; of two such places the one with the smaller kappa
    double largest_quadratic_coupling_hz_per_m2 = 0.0;  ///< magnitude
    double kappa_mean_hz = 0.0;
    double kappa_film_mean_hz = 0.0;
    double mode_spacing_hz = 0.0;  ///< c/(2 L_eff); the film's delay lengthens the cavity
    double finesse = 0.0;          ///< mode spacing over the mean kappa
};

/// Solves 1 - r a - r' b + (r r' - t^2) a b = 0 by Newton's method in the complex frequency, with a and b the round
/// trips through the arms; mirrors without dispersion, one transverse mode. The arms' phases are set so that the
/// resonance lies at the wavelength in the middle of its range: lengths are never known to that part of a wavelength.
/// Source: Jayich et al., New J. Phys. 10, 095008 (2008) (from memory, re-derived).
/// @param count  points along half a wavelength, at least 3
/// @throws NoAnswer when the resonance is lost, as in a cavity that holds no light, and beside a zero of an end
/// mirror's reflection
[[nodiscard]] HalfWavelength along_half_wavelength(const CavityOptics& optics, const FilmAmplitudes& film, int count);

}  // namespace tymbal
