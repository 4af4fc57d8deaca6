#include "synthetic.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace tymbal::synthetic {

namespace {

constexpr double pi = std::numbers::pi;

struct Mode {
    double hz;
    Truth truth;
};

std::vector<Mode> lowest(const Device& device, int count) {
    std::vector<Mode> modes;
    for (int m = 1; m <= 24; ++m)
        for (int n = 1; n <= 24; ++n) modes.push_back({frequency(device, m, n), {m, n}});
    std::sort(modes.begin(), modes.end(), [](const Mode& a, const Mode& b) { return a.hz < b.hz; });
    modes.resize(static_cast<std::size_t>(count));
    return modes;
}

/// A frame mode, an exact harmonic of a line, or a multiple of the mains.
double foreign_line(const std::vector<Mode>& modes, Dice& dice) {
    const double kind = dice.uniform(0.0, 1.0), low = 0.6 * modes.front().hz, high = 1.02 * modes.back().hz;
    if (kind < 0.7) return dice.uniform(low, high);
    if (kind < 0.9) {
        const auto k = static_cast<std::size_t>(dice.uniform(0.0, 0.3 * static_cast<double>(modes.size())));
        return modes[k].hz * (dice.uniform(0.0, 1.0) < 0.7 ? 2.0 : 3.0);
    }
    return 50.0 * std::round(dice.uniform(low, high) / 50.0);
}

}  // namespace

double frequency(const Device& d, int m, int n) {
    const double h = d.thickness, bending = d.modulus * h * h * h / (12.0 * (1.0 - d.poisson_ratio * d.poisson_ratio));
    const double kx = m * pi / (d.width - 2.0 * std::sqrt(bending / (d.stress_x * h)));
    const double ky = n * pi / (d.height - 2.0 * std::sqrt(bending / (d.stress_y * h)));
    const double k2 = kx * kx + ky * ky;
    return std::sqrt((h * (d.stress_x * kx * kx + d.stress_y * ky * ky) + bending * k2 * k2) / (d.density * h)) /
           (2.0 * pi);
}

double Dice::uniform(double low, double high) {
    state_ ^= state_ << 13U;
    state_ ^= state_ >> 7U;
    state_ ^= state_ << 17U;
    return low + (high - low) * static_cast<double>(state_ >> 11U) * 0x1p-53;
}

double Dice::normal() {
    const double radius = std::sqrt(-2.0 * std::log(1.0 - uniform(0.0, 1.0)));
    return radius * std::cos(2.0 * pi * uniform(0.0, 1.0));
}

List measure(const Device& device, const Bench& bench, Dice& dice) {
    const std::vector<Mode> modes = lowest(device, bench.modes);
    std::vector<Mode> lines;
    for (const Mode& mode : modes)
        if (dice.uniform(0.0, 1.0) < bench.seen) lines.push_back(mode);
    const double share = dice.uniform(0.0, bench.foreign);
    const auto foreign = static_cast<int>(std::round(static_cast<double>(lines.size()) * share / (1.0 - share)));
    for (int k = 0; k < foreign; ++k) lines.push_back({foreign_line(modes, dice), {}});
    for (Mode& line : lines) line.hz *= 1.0 + bench.noise * dice.normal();
    std::sort(lines.begin(), lines.end(), [](const Mode& a, const Mode& b) { return a.hz < b.hz; });
    List list;
    for (const Mode& line : lines) {
        Peak peak;
        peak.frequency_hz = line.hz;
        peak.deviation_hz = bench.noise * line.hz;
        list.peaks.push_back(peak);
        list.truths.push_back(line.truth);
    }
    return list;
}

}  // namespace tymbal::synthetic
