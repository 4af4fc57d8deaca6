#include "chip_rows.h"

#include <algorithm>
#include <cctype>

namespace tymbal {

namespace {

std::string micrometres(double metres, int digits = 4) {
    return plain(1e6 * metres, digits);
}

std::string opening_words(const CommonWindow& w) {
    if (!w.opens_s) return "not known: no rate, or no oxide that must clear";
    return duration(*w.opens_s) + ", with a slow bath " + duration(w.opens_late_s) + ": last oxide of " +
           comma_list(w.opened_by);
}

std::string closing_words(const CommonWindow& w) {
    if (!w.closes_s) return "at no limit of the designs";
    return duration(*w.closes_s) + ", with fast rates " + duration(w.closes_early_s) + ": " + w.closing_limit + " of " +
           comma_list(w.closed_by);
}

/// A warning as one device has it, and the others that have it, too.
struct SharedWarning {
    std::string text;
    std::vector<std::string> same, alike;  ///< devices: with this text, with other numbers in it
};

/// What a text says apart from its numbers.
std::string without_numbers(std::string text) {
    std::erase_if(text, [](unsigned char c) { return std::isdigit(c) || c == '.' || c == '-' || c == '+'; });
    return text;
}

std::vector<SharedWarning> shared_warnings(const ChipPrediction& chip) {
    std::vector<SharedWarning> all;
    for (const PredictedDevice& d : chip.devices) {
        if (!d.prediction) continue;
        for (const Warning& w : d.prediction->warnings) {
            const auto met = std::find_if(all.begin(), all.end(), [&](const SharedWarning& one) {
                return without_numbers(one.text) == without_numbers(w.text);
            });
            if (met == all.end())
                all.push_back({w.text, {d.name}, {}});
            else
                (met->text == w.text ? met->same : met->alike).push_back(d.name);
        }
    }
    return all;
}

}  // namespace

std::string millimetres(Point p) {
    return fixed(1e3 * p.x, 2) + ", " + fixed(1e3 * p.y, 2);
}

std::string outline_words(const PredictedDevice& device) {
    return micrometres(device.width_m) + " x " + micrometres(device.height_m);
}

std::string words(const ModeOnChip& mode) {
    return mode.device + " " + mode.label;
}

FrequencyUnit unit_of(const ChipPrediction& chip) {
    double highest = 0.0;
    for (const PredictedDevice& d : chip.devices)
        if (d.prediction && !d.prediction->modes.empty())
            highest = std::max(highest, d.prediction->modes.front().mode.frequency_hz);
    return frequency_unit(highest);
}

std::string frequency_cell(const Mode& mode, const FrequencyUnit& unit) {
    return with_stated(mode.frequency_hz, mode.frequency_std_hz, mode.discretisation_error_hz, unit.scale);
}

std::string chip_reach_words(double reach_hz) {
    return "single chip modes are known up to " + with_prefix(reach_hz, "Hz", 3) +
           "; above, plan gives the band of the chip's yielding";
}

std::vector<Fact> window_facts(const ChipRelease& chip) {
    const CommonWindow& w = chip.window;
    std::vector<Fact> facts{{"window opens", opening_words(w)}, {"window closes", closing_words(w)}};
    if (chip.time_s > 0.0) facts.push_back({"time of [release]", duration_with(chip.time_s, chip.time_deviation_s)});
    if (w.is_open()) return facts;
    facts.push_back({"common window", "none"});
    facts.push_back({"to another chip", chip.to_move.empty()
                                            ? "no choice of devices leaves a window"
                                            : comma_list(chip.to_move) + "; the others then share one"});
    return facts;
}

std::vector<std::string> bath_cells(const ReleasedDevice& device) {
    const ReleaseReport& r = device.report;
    const bool clears = r.etch && r.etch->clear_s > 0.0;
    const bool known = r.front && r.front->undercut;
    return {clears ? duration(r.etch->clear_s) : "-",
            r.etch && !r.etch->ends.empty() ? duration(r.etch->ends.front().time_s) : "-",
            known ? micrometres(std::max(0.0, r.front->undercut->si() - r.front->clears_at_m), 3) + " um" : "-",
            r.front && r.front->regions > 0 ? std::to_string(r.front->pillars.size()) : "-",
            r.film ? with_prefix(r.film->frequency_hz, "Hz", 4) : "-"};
}

std::vector<std::string> texts_of(const Warnings& warnings) {
    std::vector<std::string> texts;
    for (const Warning& w : warnings) texts.push_back(w.text);
    return texts;
}

std::vector<std::string> chip_warnings(const ChipPrediction& chip) {
    std::vector<std::string> all = texts_of(chip.warnings);
    for (const SharedWarning& w : shared_warnings(chip)) {
        all.push_back(comma_list(w.same) + ": " + w.text);
        if (!w.alike.empty()) all.back().append("; with other numbers also ").append(comma_list(w.alike));
    }
    return all;
}

}  // namespace tymbal
