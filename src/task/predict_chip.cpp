#include "tymbal/task/predict_chip.h"

#include "each_device.h"

#include "tymbal/base/error.h"
#include "tymbal/film/cell_memo.h"
#include "tymbal/geometry/boundary.h"
#include "tymbal/measurement/radiation_band.h"
#include "tymbal/task/named_mode.h"
#include "tymbal/task/solved.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

PredictedDevice predict_one(const ChipDevice& device, const Materials& materials, const Effort& effort) {
    const Box box = bounding_box(boundary(device.device.outline));
    PredictedDevice out{device.name,        device.position, box.high.x - box.low.x, box.high.y - box.low.y,
                        device.design_file, std::nullopt,    std::nullopt,           ""};
    try {
        out.prediction = predict(device.device, materials, effort);
    } catch (const UnstableFilm& e) {
        out.unstable = predict_unstable(device.device, e.what());
        out.why = out.unstable->why;
    } catch (const NoAnswer& e) {
        out.why = e.what();
    }
    return out;
}

ModeOnChip mode_on_chip(const PredictedDevice& device, const Mode& mode) {
    return {device.name, mode.character.empty() ? mode.label : mode.character, mode.frequency_hz,
            std::hypot(mode.frequency_std_hz, mode.discretisation_error_hz)};
}

std::vector<ModeOnChip> all_modes(const std::vector<PredictedDevice>& devices) {
    std::vector<ModeOnChip> all;
    for (const PredictedDevice& device : devices) {
        if (!device.prediction) continue;
        for (const PredictedMode& m : device.prediction->modes) all.push_back(mode_on_chip(device, m.mode));
    }
    std::stable_sort(all.begin(), all.end(),
                     [](const ModeOnChip& a, const ModeOnChip& b) { return a.frequency_hz < b.frequency_hz; });
    return all;
}

std::vector<CloseModes> close_modes(const std::vector<ModeOnChip>& rising, double distance_hz) {
    std::vector<CloseModes> close;
    for (std::size_t k = 0; k < rising.size(); ++k)
        for (std::size_t j = k + 1; j < rising.size(); ++j) {
            const double apart = rising[j].frequency_hz - rising[k].frequency_hz;
            if (apart > distance_hz) break;
            if (rising[j].device != rising[k].device) close.push_back({rising[k], rising[j], apart});
        }
    std::stable_sort(close.begin(), close.end(),
                     [](const CloseModes& a, const CloseModes& b) { return a.apart_hz < b.apart_hz; });
    return close;
}

/// The target's mode, else the lowest.
const Mode& wanted_mode(const Prediction& prediction, const std::string& name) {
    for (const PredictedMode& m : prediction.modes)
        if (!name.empty() && has_name(m.mode, name)) return m.mode;
    return prediction.modes.front().mode;
}

void add_chip_modes(const ChipDesign& chip, const Materials& materials, ChipPrediction& out) {
    std::vector<ModeOnChip> wanted;
    double highest = 0.0;
    for (std::size_t k = 0; k < out.devices.size(); ++k) {
        const PredictedDevice& device = out.devices[k];
        if (!device.prediction || device.prediction->modes.empty()) continue;
        wanted.push_back(mode_on_chip(device, wanted_mode(*device.prediction, chip.devices[k].device.target.mode)));
        highest = std::max(highest, wanted.back().frequency_hz);
    }
    if (wanted.empty()) return;
    const ChipModel model = chip_model(chip.chip, substrate_of(chip.devices.front().device, materials), highest);
    out.chip_reach_hz = model.reach_hz;
    for (const ModeOnChip& mode : wanted) {
        if (mode.frequency_hz >= model.reach_hz) continue;
        const auto nearest = nearest_chip_mode(model.modes, mode.frequency_hz, mode.deviation_hz);
        if (nearest && (nearest->within || std::abs(nearest->offset_hz) <= out.distance_hz))
            out.chip_close.push_back({mode, *nearest});
    }
}

void add_warnings(ChipPrediction& out) {
    for (const PredictedDevice& device : out.devices)
        if (!device.prediction)
            out.warnings.push_back(
                {"device-not-solved", "device " + device.name + " has no prediction: " + device.why});
}

}  // namespace

ChipPrediction predict_chip(const ChipDesign& chip, const Materials& materials, const ChipEffort& effort,
                            const Progressed& progressed) {
    const CellMemo cells;
    ChipPrediction out;
    out.title = chip.title;
    out.sha256 = chip.sha256;
    out.distance_hz = effort.distance_hz;
    const Effort each{cells, false, false, effort.large};
    out.devices = each_device(chip, effort.threads, progressed,
                              [&](const ChipDevice& device) { return predict_one(device, materials, each); });
    out.close = close_modes(all_modes(out.devices), effort.distance_hz);
    add_warnings(out);
    try {
        add_chip_modes(chip, materials, out);
    } catch (const NoAnswer& e) {
        out.warnings.push_back({"chip-modes", std::string("modes of the chip are left out: ") + e.what()});
    }
    return out;
}

}  // namespace tymbal
