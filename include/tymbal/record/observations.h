// What entries say about the process: biases, rates and stress, each with the chip, device and entry it comes from.
#pragma once

#include "tymbal/record/entry.h"

#include <string>
#include <vector>

namespace tymbal {

/// One figure seen once.
struct Observation {
    std::string key;    ///< design key that it is a value of
    std::string group;  ///< bath of a rate, wafer of a film; empty: not said, or not asked
    std::string chip, device;
    double value = 0.0;      ///< SI
    double deviation = 0.0;  ///< of the measurement, one sigma; 0: not stated
    std::int64_t entry = 0;
    double shared = 0.0;      ///< the part of the deviation that all seen against the same `source` have in common
    std::int64_t source = 0;  ///< entry of the width before, or of the time in the bath
};

/// What an entry holds that could have taught something, and why it did not.
struct LeftOut {
    std::int64_t entry = 0;
    std::string why;
};

struct Observations {
    std::vector<Observation> all;
    std::vector<LeftOut> left_out;
};

/// Biases are half the growth of a hole's width from one step to the next; rates are undercut, or film lost from a
/// face, over time in the bath; film stress and thickness are the latest values fitted or measured of a device.
/// @param entries  corrected(), in_order_of_date()
[[nodiscard]] Observations observations(const std::vector<RecordEntry>& entries);

}  // namespace tymbal
