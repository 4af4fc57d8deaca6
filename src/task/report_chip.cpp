#include "tymbal/task/chip_report.h"

#include "tymbal/base/error.h"

#include "each_device.h"

namespace tymbal {

ChipReport report_chip(const ChipDesign& chip, const Materials& materials, const ChipEffort& effort,
                       const Progressed& progressed) {
    constexpr double modes = 0.55;  // share of the time
    ChipReport out{chip, predict_chip(chip, materials, effort, part_of(progressed, 0.0, modes)), std::nullopt, ""};
    require_any(out.prediction.devices, [](const PredictedDevice& d) { return d.prediction.has_value(); });
    for (std::size_t k = 0; k < out.chip.devices.size(); ++k)
        if (!out.prediction.devices[k].prediction) out.chip.devices[k].device.holes.reset();
    try {
        out.release = release_chip(chip, materials, effort.threads, part_of(progressed, modes, 1.0));
    } catch (const NoAnswer& e) {
        out.release_missing = e.what();
    }
    return out;
}

}  // namespace tymbal
