// Which measurement would narrow the next design's frequency most.
#pragma once

#include "tymbal/record/learn.h"

#include <map>

namespace tymbal {

/// How far the frequency of a device follows its inputs, by formulas good to some ten per cent.
struct FrequencyPulls {
    std::string judged_by;                   ///< "chip, device" last drawn with an outline; empty: none
    std::map<std::string, double> per_unit;  ///< d ln f per SI unit of the key; absent: no pull worth naming
};

/// f ~ sqrt(stress)/L; open area takes stress away, f ~ [1 + phi (1+nu)/(1-nu)]^-1/2 (film relaxing against a stiff
/// rim, nu = 0.25); outlines that the etch sets free grow with the holes and the undercut. @param entries  corrected()
[[nodiscard]] FrequencyPulls frequency_pulls(const std::vector<RecordEntry>& entries);

/// Most useful first. @param chosen  what each line came from, in the order of `lines`
[[nodiscard]] std::vector<NextMeasurement> next_measurements(const std::vector<Learned>& chosen,
                                                             const std::vector<LearnedLine>& lines,
                                                             const FrequencyPulls& pulls);

/// A chip's values, chip by chip (or group by group), as pool() takes them.
[[nodiscard]] Chips values_of(const Learned& learned);

}  // namespace tymbal
