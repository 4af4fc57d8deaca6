// A grid of designs, each solved on its own: rows that do not depend on threads, order or what was solved before.
#pragma once

#include "tymbal/task/design_figures.h"
#include "tymbal/task/variation.h"

#include <functional>
#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace tymbal {

/// One varied key with its values, numbers in SI units or names.
struct SweepAxis {
    std::string key;
    std::vector<std::variant<double, std::string>> values;
};

/// The grid of all combinations; the last axis runs fastest.
struct SweepGrid {
    std::vector<SweepAxis> axes;
    [[nodiscard]] std::size_t size() const;
    /// @param index  from 0, below size()
    [[nodiscard]] Changes at(std::size_t index) const;
};

/// Figures, or why this design has none: one row's failure does not stop the others.
struct SweepRow {
    std::size_t index = 0;
    std::optional<DesignFigures> figures;
    std::string error;
};

struct SweepJob {
    const DeviceAt& device_at;
    const Materials& materials;
    SweepGrid grid;
    std::vector<std::size_t> wanted;  ///< indices still to be solved, in this order
    unsigned threads = 1;
    SolveEffort large{};  ///< of each design
};

/// Solves the wanted rows on `threads` threads and hands each over as it comes, one at a time but in no certain order.
/// Unit cells are solved once per shape. What `take` throws ends the sweep and passes through.
void sweep(const SweepJob& job, const std::function<void(const SweepRow&)>& take);

}  // namespace tymbal
