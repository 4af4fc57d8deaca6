// Measured devices that no part of the program made: frequencies of rectangles by a series, frame modes, harmonics of
// lines and of the mains, noise and missing peaks, all from one seed.
#pragma once

#include "tymbal/fit/measured.h"

#include <cstdint>
#include <string>
#include <vector>

namespace tymbal::synthetic {

struct Device {
    double thickness = 100e-9, stress_x = 1e9, stress_y = 1e9, density = 3100.0;  // SI
    double modulus = 250e9, poisson_ratio = 0.25;
    double width = 200e-6, height = 200e-6;
};

/// What the instrument does to the modes of a device.
struct Bench {
    int modes = 20;        ///< the band ends above this many modes
    double seen = 0.75;    ///< chance that a mode of the band is in the list
    double foreign = 0.5;  ///< share of the peaks that are no membrane modes
    double noise = 1e-4;   ///< relative, one sigma, stated as such
};

struct Truth {
    int m = 0, n = 0;  ///< half-waves; 0: foreign
};

struct List {
    std::vector<Peak> peaks;    ///< by rising frequency
    std::vector<Truth> truths;  ///< same order
};

/// Frequency of mode (m,n) of a clamped rectangle under tension, Hz, to second order in the edge layer over the side:
/// w = 0 on the rim moved in by sqrt(D/N) of each direction, plus bending of the interior. For the square this is
/// 1 + 2e + (4 + (m^2 + n^2) pi^2/2) e^2 times the membrane, the plate's form of Fletcher's beam series
/// (Fletcher, J. Acoust. Soc. Am. 36, 203 (1964), from memory, re-derived).
[[nodiscard]] double frequency(const Device& device, int m, int n);

/// Numbers that are the same on every machine: xorshift, uniform and normal by Box and Muller.
class Dice {
public:
    explicit Dice(std::uint64_t seed) : state_(seed * 0x9E3779B97F4A7C15ULL + 1) {}
    double uniform(double low, double high);
    double normal();

private:
    std::uint64_t state_;
};

[[nodiscard]] List measure(const Device& device, const Bench& bench, Dice& dice);

}  // namespace tymbal::synthetic
