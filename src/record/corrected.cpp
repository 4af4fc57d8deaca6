#include "tymbal/record/entry.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <utility>

namespace tymbal {

const RecordedValue* find_value(const RecordEntry& entry, const std::string& key) {
    const auto found = std::find_if(entry.values.begin(), entry.values.end(),
                                    [&](const RecordedValue& value) { return value.key == key; });
    return found == entry.values.end() ? nullptr : &*found;
}

std::vector<std::string> names_of(const std::string& key) {
    static const std::array<std::vector<std::string>, 3> same{
        {{"hole_width", "holes.diameter", "holes.side", "holes.across_flats"},
         {"undercut", "release.undercut"},
         {"release.time", "time"}}};
    for (std::vector<std::string> names : same)
        if (const auto found = std::find(names.begin(), names.end(), key); found != names.end()) {
            std::rotate(names.begin(), found, found + 1);
            return names;
        }
    return {key};
}

namespace {

bool takes_away(const RecordedValue& value) {
    return !value.value && value.text == "none";
}

bool holds(const RecordEntry& entry, const std::string& key) {
    const std::vector<std::string> names = names_of(key);
    return std::any_of(names.begin(), names.end(),
                       [&](const auto& name) { return find_value(entry, name) != nullptr; });
}

void replace_values(RecordEntry& entry, const std::vector<RecordedValue>& values) {
    for (const RecordedValue& value : values) {
        const std::vector<std::string> names = names_of(value.key);
        std::erase_if(entry.values, [&](const RecordedValue& old) {
            return std::find(names.begin(), names.end(), old.key) != names.end();
        });
        if (!takes_away(value)) entry.values.push_back(value);
    }
}

}  // namespace

std::vector<RecordEntry> corrected(std::vector<RecordEntry> entries) {
    std::vector<RecordEntry> out;
    out.reserve(entries.size());
    std::map<std::int64_t, std::size_t> place;  // of the entry that a number or its corrections speak of
    for (RecordEntry& entry : entries) {
        const auto root = entry.corrects ? place.find(*entry.corrects) : place.end();
        if (entry.step != "correction" || root == place.end()) {
            place[entry.number] = out.size();
            out.push_back(std::move(entry));
            continue;
        }
        place[entry.number] = root->second;
        replace_values(out[root->second], entry.values);
    }
    return out;
}

namespace {

std::string moment_of(const RecordEntry& entry) {
    return entry.recorded.rfind(entry.date, 0) == 0 ? entry.recorded : entry.date;
}

const RecordEntry* numbered(const std::vector<RecordEntry>& entries, std::int64_t number) {
    const auto found =
        std::find_if(entries.begin(), entries.end(), [&](const RecordEntry& e) { return e.number == number; });
    return found == entries.end() ? nullptr : &*found;
}

}  // namespace

std::vector<RecordEntry> in_order_of_date(std::vector<RecordEntry> entries) {
    std::vector<std::pair<std::string, std::size_t>> moments;  // with places: equal moments keep their order
    moments.reserve(entries.size());
    for (const RecordEntry& entry : entries) moments.emplace_back(moment_of(entry), moments.size());
    if (std::is_sorted(moments.begin(), moments.end())) return entries;
    std::sort(moments.begin(), moments.end());
    std::vector<RecordEntry> sorted;
    sorted.reserve(entries.size());
    for (const auto& [moment, place] : moments) sorted.push_back(std::move(entries[place]));
    return sorted;
}

std::string correction_fault(const RecordEntry& correction, const std::vector<RecordEntry>& entries) {
    if (!correction.corrects) return "";
    const std::string number = std::to_string(*correction.corrects);
    const RecordEntry* meant = numbered(entries, *correction.corrects);
    while (meant != nullptr && meant->corrects && *meant->corrects < meant->number)
        meant = numbered(entries, *meant->corrects);
    if (meant == nullptr) return "there is no entry " + number + "; `tymbal record list CHIP` shows them";
    if (meant->chip != correction.chip)
        return "entry " + number + " is of chip '" + meant->chip + "', not of '" + correction.chip + "'";
    if (!correction.device.empty() && correction.device != meant->device)
        return "entry " + number + " is " +
               (meant->device.empty() ? "about the whole chip" : "of device '" + meant->device + "'") + ", not of '" +
               correction.device + "'";
    const std::vector<RecordEntry> now = corrected(entries);
    for (const RecordedValue& value : correction.values)
        if (takes_away(value) && !holds(*numbered(now, meant->number), value.key))
            return "entry " + number + " holds no " + value.key + " that could be taken away";
    return "";
}

const RecordedValue* broken_value(const RecordEntry& entry) {
    const auto found = std::find_if(entry.values.begin(), entry.values.end(), [](const RecordedValue& v) {
        const double deviation = v.deviation.value_or(0.0);
        return !std::isfinite(v.value.value_or(0.0)) || !std::isfinite(deviation) || deviation < 0.0;
    });
    return found == entry.values.end() ? nullptr : &*found;
}

}  // namespace tymbal
