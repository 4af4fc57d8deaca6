// A device on its way through a comparison: its design as moved so far, what was measured, its lines and their names.
#pragma once

#include "tymbal/fit/assign.h"
#include "tymbal/task/compare.h"
#include "tymbal/task/predicted_lines.h"

#include <array>
#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace tymbal {

struct Work {
    Device design;
    Measured measured;
    std::string name = {};               ///< on its chip
    std::array<double, 2> place_m = {};  ///< there
    SolvedDesign solved = {};
    LineModel lines = {};
    Assignment assignment = {};
    std::optional<Ringdown> decay = {};
};

/// "lines.csv, device A1: ", before what is said of a device.
[[nodiscard]] std::string spoken_of(const Work& work);

/// How much is done at once, and what devices share: unit cells solved once.
struct Workshop {
    unsigned threads = 1;
    Effort effort = {};
};

/// `what` is done for every device's position, several at a time. @throws NoAnswer that names the device
void for_each_device(const std::vector<Work>& works, const Workshop& shop,
                     const std::function<void(std::size_t)>& what);

/// Lines as exact as the design asks.
void solve_lines(Work& work, const Effort& effort);

/// Lines to look for the film by: what is found is solved again as exactly as the design asks.
void solve_roughly(Work& work, const Effort& effort);

/// The named peaks of all devices.
[[nodiscard]] std::vector<Datum> data_of(const std::vector<Work>& works);

[[nodiscard]] std::vector<const LineModel*> models_of(const std::vector<Work>& works);

/// Devices whose lines feel over-etch differently by a tenth, which parts it from wave speed.
[[nodiscard]] bool has_ladder(const std::vector<Work>& works);

}  // namespace tymbal
