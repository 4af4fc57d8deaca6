// A device on its way through a comparison: its design as moved so far, what was measured, its lines and their names.
#pragma once

#include "tymbal/fit/assign.h"
#include "tymbal/task/compare.h"
#include "tymbal/task/predicted_lines.h"

#include <vector>

namespace tymbal {

struct Work {
    Device design;
    Measured measured;
    SolvedDesign solved;
    LineModel lines;
    Assignment assignment;
    std::optional<Ringdown> decay;
};

/// Lines as exact as the design asks.
void solve_lines(Work& work);

/// Lines to look for the film by: what is found is solved again as exactly as the design asks.
void solve_roughly(Work& work);

/// The named peaks of all devices.
[[nodiscard]] std::vector<Datum> data_of(const std::vector<Work>& works);

[[nodiscard]] std::vector<const LineModel*> models_of(const std::vector<Work>& works);

/// Devices whose lines feel over-etch differently by a tenth, which parts it from wave speed.
[[nodiscard]] bool has_ladder(const std::vector<Work>& works);

}  // namespace tymbal
