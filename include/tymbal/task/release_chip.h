// One bath for all devices of a chip: when the last is free, when the first is lost, and who shares a chip badly.
#pragma once

#include "tymbal/task/chip_design.h"
#include "tymbal/task/progressed.h"
#include "tymbal/task/release_report.h"

#include <optional>
#include <string>
#include <vector>

namespace tymbal {

struct ReleasedDevice {
    std::string name;
    Point position{};
    ReleaseReport report;
};

/// A limit that some time in the bath reaches first.
struct ChipWindowEnd {
    std::vector<std::string> devices;  ///< one, or two whose fronts meet
    std::string limit;                 ///< design key, or words
    double time_s = 0.0;
    double early_s = 0.0;  ///< two sigmas of the rates earlier
};

/// The time between the last device's clearing and the first limit.
struct CommonWindow {
    std::optional<double> opens_s;  ///< empty: no device needs clearing, or no rate is known
    double opens_late_s = 0.0;      ///< in a bath two sigmas slow
    std::vector<std::string> opened_by;
    std::optional<double> closes_s;  ///< empty: no limit
    double closes_early_s = 0.0;     ///< with rates two sigmas fast, of the end that then comes first
    std::vector<std::string> closed_by;
    std::string closing_limit;
    [[nodiscard]] bool is_open() const { return !opens_s || !closes_s || *opens_s < *closes_s; }
};

struct ChipRelease {
    std::string title, sha256;
    std::vector<ReleasedDevice> devices;
    std::vector<ChipWindowEnd> ends;  ///< earliest first
    CommonWindow window;
    double time_s = 0.0, time_deviation_s = 0.0;  ///< planned by [release]; 0: not known
    std::vector<std::string> to_move;             ///< to another chip, so that the others have a window
    Warnings warnings;
};

/// @throws NoAnswer where a device has no [release]
[[nodiscard]] ChipRelease release_chip(const ChipDesign& chip, const Materials& materials, unsigned threads,
                                       const Progressed& progressed = {});

}  // namespace tymbal
