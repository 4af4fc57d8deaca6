#include "json_results.h"

#include "tymbal/print/write_chip.h"
#include "tymbal/print/write_release.h"

namespace tymbal {

namespace {

template <class Chip>
Json chip_head(const Chip& chip) {
    Json root = json_tool();
    root["chip"] = {{"title", chip.title}, {"sha256", chip.sha256}};
    return root;
}

/// A device's own result behind its name and place; the chip's head says which tool.
Json named(const std::string& name, Json result) {
    Json device{{"name", name}};
    result.erase("tool");
    device.update(result);
    return device;
}

Json device_json(const PredictedDevice& d) {
    Json result = d.prediction ? prediction_json(*d.prediction)
                  : d.unstable
                      ? prediction_json(*d.unstable)
                      : Json{{"film", nullptr}, {"modes", Json::array()}, {"warnings", {"not-solved: " + d.why}}};
    Json device{{"name", d.name},
                {"position_m", {number(d.position.x), number(d.position.y)}},
                {"width_m", number(d.width_m)},
                {"height_m", number(d.height_m)}};
    result.erase("tool");
    device.update(result);
    return device;
}

Json mode_json(const ModeOnChip& m) {
    return {{"device", m.device},
            {"label", m.label},
            {"frequency_hz", number(m.frequency_hz)},
            {"deviation_hz", number(m.deviation_hz)}};
}

Json end_json(const ChipWindowEnd& e) {
    return {{"limit", e.limit}, {"devices", e.devices}, {"time_s", number(e.time_s)}, {"early_s", number(e.early_s)}};
}

}  // namespace

void write_json(std::ostream& out, const ChipPrediction& chip) {
    Json root = chip_head(chip);
    root["devices"] = Json::array();
    for (const PredictedDevice& d : chip.devices) root["devices"].push_back(device_json(d));
    root["close_within_hz"] = number(chip.distance_hz);
    root["close_modes"] = Json::array();
    for (const CloseModes& c : chip.close)
        root["close_modes"].push_back(
            {{"lower", mode_json(c.lower)}, {"upper", mode_json(c.upper)}, {"apart_hz", number(c.apart_hz)}});
    root["chip_reach_hz"] = number(chip.chip_reach_hz);
    root["close_chip_modes"] = Json::array();
    for (const CloseChipMode& c : chip.chip_close)
        root["close_chip_modes"].push_back({{"mode", mode_json(c.mode)},
                                            {"chip_mode", c.chip_mode.name},
                                            {"chip_mode_hz", number(c.chip_mode.at_hz)},
                                            {"offset_hz", number(c.chip_mode.offset_hz)},
                                            {"within_errors", c.chip_mode.within}});
    root["warnings"] = warnings_json(chip.warnings);
    print(out, root);
}

void write_json(std::ostream& out, const ChipRelease& chip) {
    const CommonWindow& w = chip.window;
    Json root = chip_head(chip);
    root["window_opens_s"] = number(w.opens_s);
    root["window_opens_late_s"] = w.opens_s ? number(w.opens_late_s) : Json(nullptr);
    root["opened_by"] = w.opened_by;
    root["window_closes_s"] = number(w.closes_s);
    root["window_closes_early_s"] = w.closes_s ? number(w.closes_early_s) : Json(nullptr);
    root["closed_by"] = w.closed_by;
    root["closing_limit"] = w.closes_s ? Json(w.closing_limit) : Json(nullptr);
    root["window_open"] = w.is_open();
    root["to_move"] = chip.to_move;
    root["time_s"] = chip.time_s > 0.0 ? number(chip.time_s) : Json(nullptr);
    root["time_std_s"] = chip.time_s > 0.0 ? number(chip.time_deviation_s) : Json(nullptr);
    root["window_ends"] = Json::array();
    for (const ChipWindowEnd& e : chip.ends) root["window_ends"].push_back(end_json(e));
    root["devices"] = Json::array();
    for (const ReleasedDevice& d : chip.devices) {
        Json device = named(d.name, release_json(d.report));
        device["position_m"] = {number(d.position.x), number(d.position.y)};
        root["devices"].push_back(device);
    }
    root["warnings"] = warnings_json(chip.warnings);
    root["cautions"] = chip_cautions(chip);
    print(out, root);
}

void write_json(std::ostream& out, const ChipPlan& chip) {
    Json root = chip_head(chip);
    root["devices"] = Json::array();
    for (const DevicePlan& d : chip.devices)
        root["devices"].push_back(
            d.plan ? named(d.name, plan_json(*d.plan))
                   : Json{{"name", d.name}, {"modes", Json::array()}, {"warnings", {"not-solved: " + d.why}}});
    print(out, root);
}

}  // namespace tymbal
