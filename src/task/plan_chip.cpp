#include "each_device.h"

#include "tymbal/base/error.h"
#include "tymbal/film/cell_memo.h"
#include "tymbal/task/chip_plan.h"

namespace tymbal {

namespace {

DevicePlan plan_one(const ChipDevice& device, const Materials& materials, const PlanOptions& options,
                    const Effort& effort) {
    DevicePlan out{device.name, std::nullopt, ""};
    try {
        out.plan = plan(device.device, materials, options, {}, effort);
    } catch (const NoAnswer& e) {
        out.why = e.what();
    }
    return out;
}

}  // namespace

ChipPlan plan_chip(const ChipDesign& chip, const Materials& materials, const PlanOptions& options, unsigned threads,
                   const Progressed& progressed, const SolveEffort& large) {
    const Effort each{CellMemo{}, false, false, large};
    return {chip.title, chip.sha256, each_device(chip, threads, progressed, [&](const ChipDevice& device) {
                return plan_one(device, materials, options, each);
            })};
}

}  // namespace tymbal
