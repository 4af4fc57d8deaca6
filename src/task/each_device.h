// One answer for each device of a chip, worked out beside each other.
#pragma once

#include "../base/in_parallel.h"

#include "tymbal/base/error.h"
#include "tymbal/task/chip_design.h"
#include "tymbal/task/progressed.h"

#include <algorithm>
#include <mutex>
#include <optional>
#include <type_traits>
#include <utility>
#include <vector>

namespace tymbal {

/// In the order of the chip file. @param answer  of one device; called from several threads
template <class Answer>
[[nodiscard]] auto each_device(const ChipDesign& chip, unsigned threads, const Progressed& progressed,
                               const Answer& answer) {
    using Result = std::invoke_result_t<const Answer&, const ChipDevice&>;
    std::vector<std::optional<Result>> found(chip.devices.size());
    std::mutex one_at_a_time;
    std::size_t done = 0;
    in_parallel(found.size(), threads, [&](std::size_t k) {
        found[k] = answer(chip.devices[k]);
        const std::lock_guard lock(one_at_a_time);
        tell(progressed, static_cast<double>(++done) / static_cast<double>(found.size()));
    });
    std::vector<Result> all;
    for (std::optional<Result>& one : found) all.push_back(std::move(*one));
    return all;
}

/// @throws NoAnswer where none of them is answered: a table of reasons is no answer
template <class Devices, class Answered>
void require_any(const Devices& devices, const Answered& answered) {
    if (std::none_of(devices.begin(), devices.end(), answered))
        throw NoAnswer("no device of the chip has an answer; the first, " + devices.front().name + ": " +
                       devices.front().why);
}

}  // namespace tymbal
