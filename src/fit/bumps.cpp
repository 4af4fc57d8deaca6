#include "bumps.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace tymbal {

namespace {

constexpr std::array<std::size_t, 6> means{1, 3, 9, 27, 81, 243};
constexpr double false_alarms = 1e-3;  // expected per spectrum of pure noise
constexpr double least_excess = 1.15;  // over the background: below that its own wander counts

/// z with a normal tail of `share` above it, by bisection.
double normal_quantile(double share) {
    double low = 0.0, high = 40.0;
    for (int step = 0; step < 60; ++step) {
        const double middle = 0.5 * (low + high);
        (0.5 * std::erfc(middle / std::sqrt(2.0)) > share ? low : high) = middle;
    }
    return high;
}

/// Value over the mean that a gamma variable of k averages exceeds with the given chance (Wilson and Hilferty,
/// Proc. Natl. Acad. Sci. 17, 684 (1931), from memory).
double gamma_threshold(double k, double chance) {
    const double a = 1.0 / (9.0 * k);
    return std::pow(1.0 - a + normal_quantile(chance) * std::sqrt(a), 3.0);
}

}  // namespace

std::vector<Bump> bumps(const std::vector<double>& power, const std::vector<double>& model, double averages) {
    const std::size_t n = model.size();
    std::vector<double> sum(n + 1, 0.0);
    for (std::size_t i = 0; i < n; ++i) sum[i + 1] = sum[i] + power[i] / model[i];
    std::vector<Bump> found;
    for (const std::size_t width : means) {
        if (4 * width > n) break;
        const double chance = false_alarms / static_cast<double>(n) / static_cast<double>(means.size());
        const double limit = std::max(gamma_threshold(averages * static_cast<double>(width), chance), least_excess);
        Bump top;
        for (std::size_t i = 0; i + width <= n; ++i) {
            const double mean = (sum[i + width] - sum[i]) / static_cast<double>(width);
            if (mean > limit && mean > top.excess) top = {i + width / 2, mean, width, limit};
            if ((mean <= limit || i + width == n) && top.excess > 0.0) {
                found.push_back(top);
                top = {};
            }
        }
    }
    std::stable_sort(found.begin(), found.end(), [](const Bump& a, const Bump& b) {
        return a.excess * std::sqrt(static_cast<double>(a.width)) > b.excess * std::sqrt(static_cast<double>(b.width));
    });
    std::vector<Bump> apart;
    for (const Bump& b : found)
        if (std::none_of(apart.begin(), apart.end(), [&](const Bump& a) {
                const std::size_t gap = a.at > b.at ? a.at - b.at : b.at - a.at;
                return gap <= 2 * std::max(a.width, b.width) + 8;
            }))
            apart.push_back(b);
    return apart;
}

}  // namespace tymbal
