// What a record teaches the next design: process biases, etch rates by bath, film by wafer, and what to measure next.
#pragma once

#include "tymbal/base/warning.h"
#include "tymbal/record/observations.h"
#include "tymbal/record/pooled.h"

#include <optional>
#include <string>
#include <vector>

namespace tymbal {

struct LearnChoice {
    std::string wafer;  ///< of the next chip; empty: the only one, or one not seen yet
    std::string bath;
};

/// A figure of one bath or wafer, or of all.
struct Learned {
    std::string key;         ///< design key
    std::string group;       ///< bath or wafer; empty: of chips whose is not named
    bool of_groups = false;  ///< of a bath or wafer not seen yet, from those that were: they take the place of chips
    Pooled pooled;           ///< SI
    std::vector<Observation> from;
};

/// One line for the next design: the next chip's value, with the deviation that it is to be expected with.
struct LearnedLine {
    std::string key;
    double value = 0.0, deviation = 0.0;  ///< SI
    std::string basis;                    ///< from how much, in words
};

/// A measurement that could be made, and what it is worth.
struct NextMeasurement {
    std::string what;
    std::string key;
    double now = 0.0;              ///< deviation of the key's line, SI
    std::optional<double> then{};  ///< afterwards, as expected; empty: the scatter is not known yet
    std::optional<double> frequency_now{}, frequency_then{};  ///< spread of the judging device's frequency, relative
};

struct Learning {
    std::vector<Learned> learned;
    std::vector<LearnedLine> lines;
    std::vector<NextMeasurement> next;  ///< most useful first
    std::string judged_by;              ///< "chip, device" whose frequency weighs the measurements; empty: none does
    std::vector<LeftOut> left_out;
    Warnings warnings;
};

/// @param log  corrected(). An unknown wafer or bath throws NoAnswer that names those there are; so does a record
/// that teaches nothing yet.
[[nodiscard]] Learning learn(std::vector<RecordEntry> log, const LearnChoice& choice = {});

}  // namespace tymbal
