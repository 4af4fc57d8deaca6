#include "tymbal/fit/measured.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

bool same_line(const Peak& a, const Peak& b) {
    const double sigma = std::hypot(a.deviation_hz, b.deviation_hz);
    return a.drive && b.drive && *a.drive != *b.drive &&
           std::abs(a.frequency_hz - b.frequency_hz) <= std::max(3.0 * sigma, 1e-5 * a.frequency_hz);
}

/// Slope of ln(height) over ln(drive) between two rows.
std::optional<double> order_of_rise(const Peak& less, const Peak& more) {
    if (!less.height || !more.height || *less.height <= 0.0 || *more.height <= 0.0 || *less.drive <= 0.0) return {};
    return std::log(*more.height / *less.height) / std::log(*more.drive / *less.drive);
}

}  // namespace

std::vector<Peak> merge_drive_levels(const std::vector<Peak>& peaks) {
    std::vector<Peak> merged;
    for (std::size_t first = 0; first < peaks.size();) {
        std::size_t last = first;
        while (last + 1 < peaks.size() && same_line(peaks[first], peaks[last + 1])) ++last;
        const auto by_drive = [](const Peak& a, const Peak& b) { return a.drive < b.drive; };
        const auto from = peaks.begin() + static_cast<std::ptrdiff_t>(first);
        const auto to = peaks.begin() + static_cast<std::ptrdiff_t>(last) + 1;
        merged.push_back(*std::min_element(from, to, by_drive));
        if (last > first)
            merged.back().drive_order = order_of_rise(merged.back(), *std::max_element(from, to, by_drive));
        first = last + 1;
    }
    return merged;
}

}  // namespace tymbal
