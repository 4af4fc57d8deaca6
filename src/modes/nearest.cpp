#include "nearest.h"

#include "tymbal/base/error.h"

#include "../base/plain.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <string>

namespace tymbal {

namespace {

constexpr int most_modes = 200;

/// Index of the first of the `count` modes nearest to a frequency.
std::size_t first_nearest(const std::vector<Mode>& modes, std::size_t count, double hz) {
    const auto off = [&](std::size_t k) { return std::abs(modes[k].frequency_hz - hz); };
    std::size_t first = 0;
    while (first + count < modes.size() && off(first + count) < off(first)) ++first;
    return first;
}

template <class Row>
void keep(Row& row, std::size_t first, std::size_t count) {
    const auto begin = row.begin() + static_cast<std::ptrdiff_t>(first);
    row = {begin, begin + static_cast<std::ptrdiff_t>(count)};
}

void keep(Level& level, std::size_t first, std::size_t count) {
    const auto k = static_cast<Eigen::Index>(first), n = static_cast<Eigen::Index>(count);
    level.values = level.values.segment(k, n).eval();
    level.shapes = level.shapes.middleCols(k, n).eval();
    if (level.interior.size() > 0) level.interior = level.interior.segment(k, n).eval();
    keep(level.layers, first, count);
}

ModeSet only(ModeSet set, std::size_t first, std::size_t count) {
    keep(set.modes, first, count);
    keep(set.sensitivities, first, count);
    keep(set.coarse, first, count);
    keep(set.fine, first, count);
    for (auto& row : set.frequencies) keep(row, first, count);
    const auto kept = [&](int partner) {
        const int moved = partner - static_cast<int>(first);
        return partner > 0 && moved >= 1 && moved <= static_cast<int>(count) ? moved : 0;
    };
    for (std::size_t k = 0; k < count; ++k) {
        set.modes[k].index = static_cast<int>(k) + 1;
        set.modes[k].partner = kept(set.modes[k].partner);
    }
    return set;
}

}  // namespace

ModeSet nearest_of_lowest(const ModeProblem& problem) {
    ModeProblem lowest = problem;
    lowest.near_hz = 0.0;
    while (true) {
        ModeSet set = find_modes(lowest);
        const auto count = static_cast<std::size_t>(problem.count);
        const std::size_t first = first_nearest(set.modes, count, problem.near_hz);
        if (first + count < set.modes.size()) return only(std::move(set), first, count);
        if (lowest.count >= most_modes)
            throw NoAnswer("the frequency lies above the lowest " + std::to_string(most_modes) +
                           " modes, the last at " + plain(1e-6 * set.modes.back().frequency_hz, 4) +
                           " MHz; modes that high are found in films whose openings are resolved");
        lowest.count = std::min(most_modes, 2 * lowest.count + 1);
    }
}

}  // namespace tymbal
