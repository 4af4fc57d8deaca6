// How far a task is, for whoever waits for it.
#pragma once

#include <functional>

namespace tymbal {

/// Told between the parts of a task which share of the whole (0 to 1, rising) lies behind it: an estimate from how
/// long the parts usually take beside each other. From the thread that works.
using Progressed = std::function<void(double share)>;

inline void tell(const Progressed& whom, double share) {
    if (whom) whom(share);
}

/// For a part of the task: its own 0 to 1 lies between two shares of the whole.
[[nodiscard]] inline Progressed part_of(const Progressed& whom, double from, double to) {
    if (!whom) return {};
    return [whom, from, to](double share) { whom(from + (to - from) * share); };
}

}  // namespace tymbal
