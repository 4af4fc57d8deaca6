// Designs and made measurements that tests of the comparison share.
#pragma once

#include "tymbal/task/compare.h"

#include "support/designs.h"
#include "support/exact_modes.h"
#include "support/synthetic.h"

#include <algorithm>
#include <cmath>
#include <string>

namespace tymbal::made {

inline std::string text(const std::string& side) {
    std::string out =
        "[film]\nmaterial = \"nitride-stoichiometric\"\nthickness = \"100 nm\"\nstress = \"1.00 +- 0.03 GPa\"\n"
        "youngs_modulus = \"250 GPa\"\npoisson_ratio = 0.25\ndensity = \"3100 +- 62 kg/m^3\"\n";
    return out.append(sample::square(side));
}

/// A device measured without foreign peaks, the first `modes` modes.
inline Measured list(const synthetic::Device& device, int modes, std::uint64_t seed = 1) {
    synthetic::Dice dice(seed);
    Measured m;
    m.file = "made.csv";
    m.peaks = synthetic::measure(device, {.modes = modes, .seen = 1.1, .foreign = 0.0, .noise = 3e-5}, dice).peaks;
    return m;
}

/// Lines of a clamped square by Ritz series, with 5e-5 of noise: at 50 um the closed series of `synthetic` is
/// itself wrong by as much.
inline Measured square_list(double side, int modes, synthetic::Dice& dice, double stress_pa = 1e9) {
    const double h = 100e-9, stiffness = 250e9 * h * h * h / (12.0 * (1.0 - 0.25 * 0.25));
    Measured m;
    m.file = "made.csv";
    for (const double omega : exact::rectangle({stress_pa * h, stiffness, 3100.0 * h}, side, side, modes)) {
        Peak peak;
        peak.frequency_hz = omega / (2.0 * 3.14159265358979) * (1.0 + 5e-5 * dice.normal());
        peak.deviation_hz = 5e-5 * peak.frequency_hz;
        m.peaks.push_back(peak);
    }
    std::sort(m.peaks.begin(), m.peaks.end(),
              [](const Peak& a, const Peak& b) { return a.frequency_hz < b.frequency_hz; });
    return m;
}

/// A power that falls by three e-folds a second; `early` multiplies the rate of the first half second.
inline Measured falling(double hz, double early) {
    Measured m;
    m.file = "made.csv";
    m.kind = MeasuredKind::ringdown;
    m.decay.frequency_hz = hz;
    double log_power = 0.0;
    for (int i = 0; i < 400; ++i) {
        m.decay.time_s.push_back(0.01 * i);
        m.decay.power.push_back(std::exp(log_power) + 1e-4);
        log_power -= 3.0 * 0.01 * (i < 50 ? early : 1.0);
    }
    return m;
}

inline FittedValue named(const Comparison& c, const std::string& name) {
    for (const FittedValue& v : c.values)
        if (v.name == name) return v;
    return {"", "", std::nan(""), std::nan("")};
}

inline double value(const Comparison& c, const std::string& name) {
    return named(c, name).fitted;
}

}  // namespace tymbal::made
