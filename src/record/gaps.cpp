#include "tymbal/record/gaps.h"

#include <algorithm>
#include <array>
#include <map>
#include <set>

namespace tymbal {

namespace {

constexpr std::array<const char*, 5> ladder{"drawn", "printed", "etched", "released", "measured"};

std::string listed(const std::vector<std::string>& names) {
    std::string text;
    for (std::size_t k = 0; k < names.size() && k < 8; ++k) text.append(k == 0 ? "" : ", ").append(names[k]);
    return names.size() > 8 ? text.append(" and ").append(std::to_string(names.size() - 8)).append(" more") : text;
}

void look_at_numbers(const RecordContents& record, std::vector<RecordFinding>& out) {
    std::int64_t expected = 1;
    for (const RecordEntry& e : record.entries) {
        if (e.number != expected)
            out.push_back(
                {true, "",
                 "entries " + std::to_string(expected) + " to " + std::to_string(e.number - 1) + " are missing"});
        expected = e.number + 1;
    }
}

/// What is known of one chip's steps.
struct Steps {
    std::set<std::string> done;
    std::set<std::string> measured;  ///< devices, "" for the whole chip
    std::string drawn;               ///< date
    std::vector<std::string> early;  ///< entries dated before it
    std::vector<std::string> ahead;  ///< entries dated after the day of their recording
};

std::map<std::string, Steps> steps_of(const std::vector<RecordEntry>& entries) {
    std::map<std::string, Steps> chips;
    for (const RecordEntry& e : entries) {
        Steps& chip = chips[e.chip];
        chip.done.insert(e.step);
        if (e.step == "drawn" && chip.drawn.empty()) chip.drawn = e.date;
        if (e.step == "measured" || e.step == "fitted") chip.measured.insert(e.device);
        // Days compare with moments as far as both go.
        const std::size_t both = std::min(e.date.size(), chip.drawn.size());
        if (e.date.substr(0, std::min<std::size_t>(both, 10)) < chip.drawn.substr(0, std::min<std::size_t>(both, 10)))
            chip.early.push_back(std::to_string(e.number));
        if (e.date.substr(0, 10) > e.recorded.substr(0, 10)) chip.ahead.push_back(std::to_string(e.number));
    }
    return chips;
}

void look_at_chip(const RecordedChip& chip, const Steps& steps, std::vector<RecordFinding>& out) {
    std::size_t last = 0;
    for (std::size_t k = 0; k < ladder.size(); ++k)
        if (steps.done.count(ladder[k]) > 0 || (k == 4 && steps.done.count("fitted") > 0)) last = k;
    for (std::size_t k = 0; k < last; ++k)
        if (steps.done.count(ladder[k]) == 0)
            out.push_back({false, chip.name,
                           std::string("is ")
                               .append(ladder[last])
                               .append(", but nothing says how it "
                                       "was ")
                               .append(ladder[k])});
    if (!steps.early.empty())
        out.push_back({false, chip.name, "has entries dated before it was drawn: " + listed(steps.early)});
    if (!steps.ahead.empty())
        out.push_back({false, chip.name, "has entries dated after they were recorded: " + listed(steps.ahead)});
    if (steps.measured.empty() || steps.measured.count("") > 0) return;
    std::vector<std::string> missing;
    for (const RecordedDevice& d : chip.devices)
        if (steps.measured.count(d.name) == 0) missing.push_back(d.name);
    if (!missing.empty()) out.push_back({false, chip.name, "has devices that were not measured: " + listed(missing)});
}

}  // namespace

std::vector<RecordFinding> record_gaps(const RecordContents& record) {
    std::vector<RecordFinding> out;
    look_at_numbers(record, out);
    const std::map<std::string, Steps> steps = steps_of(record.entries);
    for (const RecordedChip& chip : record.chips) {
        const auto found = steps.find(chip.name);
        if (found == steps.end())
            out.push_back({true, chip.name, "has no entry at all"});
        else
            look_at_chip(chip, found->second, out);
    }
    return out;
}

}  // namespace tymbal
