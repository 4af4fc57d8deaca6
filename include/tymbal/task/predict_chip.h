// All devices of a chip predicted beside each other, and where their modes stand close to each other or to the chip's.
#pragma once

#include "tymbal/measurement/neighbours.h"
#include "tymbal/task/chip_design.h"
#include "tymbal/task/predict.h"
#include "tymbal/task/progressed.h"

#include <optional>
#include <string>
#include <vector>

namespace tymbal {

struct PredictedDevice {
    std::string name;
    Point position{};                      ///< on the chip, m
    double width_m = 0.0, height_m = 0.0;  ///< of the outline as it hangs free
    std::string design_file;
    std::optional<Prediction> prediction;  ///< empty: see `why`
    std::optional<UnstablePrediction> unstable;
    std::string why;  ///< the device has no prediction
};

/// One mode of one device.
struct ModeOnChip {
    std::string device;
    std::string label;
    double frequency_hz = 0.0;
    double deviation_hz = 0.0;  ///< one sigma of the inputs and the grids' bound together; shared inputs move both
};

/// Modes of two devices that lie close.
struct CloseModes {
    ModeOnChip lower, upper;
    double apart_hz = 0.0;
};

/// The chip's own mode nearest to a wanted mode: the target's, or the lowest.
struct CloseChipMode {
    ModeOnChip mode;
    Neighbour chip_mode;
};

struct ChipPrediction {
    std::string title, sha256;
    std::vector<PredictedDevice> devices;
    double distance_hz = 0.0;               ///< within which modes are called close
    std::vector<CloseModes> close;          ///< nearest first
    std::vector<CloseChipMode> chip_close;  ///< within the distance, or not told apart within the errors
    std::optional<double>
        chip_reach_hz;  ///< up to which the chip's modes are known; empty: not computed, a warning says why
    Warnings warnings;
};

struct ChipEffort {
    unsigned threads = 1;      ///< numbers do not depend on it
    double distance_hz = 1e3;  ///< zero or more
    SolveEffort large{};       ///< of each device
};

/// A device without an answer does not stop the others. Unit cells are solved once per shape.
[[nodiscard]] ChipPrediction predict_chip(const ChipDesign& chip, const Materials& materials, const ChipEffort& effort,
                                          const Progressed& progressed = {});

}  // namespace tymbal
