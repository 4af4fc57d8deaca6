#include "tymbal/task/compare_chip.h"

#include "tymbal/base/error.h"

#include <algorithm>

namespace tymbal {

namespace {

void require_names(const ChipDesign& chip, const std::vector<MeasuredDevice>& measured) {
    std::string names;
    for (const ChipDevice& d : chip.devices) names.append(names.empty() ? "" : ", ").append(d.name);
    for (const MeasuredDevice& m : measured)
        if (std::none_of(chip.devices.begin(), chip.devices.end(),
                         [&](const ChipDevice& d) { return d.name == m.name; }))
            throw InputError({m.measured.file, 0}, "device",
                             "'" + m.name + "' is no device of " + chip.file + ", which has " + names +
                                 "; name the file after its device, or give it a column 'device'");
}

}  // namespace

std::vector<DeviceInput> measured_devices(const ChipDesign& chip, const std::vector<MeasuredDevice>& measured) {
    require_names(chip, measured);
    std::vector<DeviceInput> out;
    for (const ChipDevice& d : chip.devices) {
        const MeasuredDevice* found = nullptr;
        for (const MeasuredDevice& m : measured) {
            if (m.name != d.name) continue;
            if (found != nullptr)
                throw InputError(
                    {m.measured.file, 0}, "device",
                    "'" + d.name + "' is measured in " + found->measured.file + " too; put its lines into one list");
            found = &m;
        }
        if (found != nullptr) out.push_back({d.device, found->measured, d.name, d.position});
    }
    return out;
}

}  // namespace tymbal
