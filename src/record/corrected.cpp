#include "tymbal/record/entry.h"

#include <algorithm>
#include <map>

namespace tymbal {

const RecordedValue* find_value(const RecordEntry& entry, const std::string& key) {
    const auto found = std::find_if(entry.values.begin(), entry.values.end(),
                                    [&](const RecordedValue& value) { return value.key == key; });
    return found == entry.values.end() ? nullptr : &*found;
}

namespace {

void replace_values(RecordEntry& entry, const std::vector<RecordedValue>& values) {
    for (const RecordedValue& value : values) {
        const auto same = [&](const RecordedValue& old) { return old.key == value.key; };
        std::erase_if(entry.values, same);
        if (value.value || value.text != "none") entry.values.push_back(value);
    }
}

}  // namespace

std::vector<RecordEntry> corrected(const std::vector<RecordEntry>& entries) {
    std::vector<RecordEntry> out;
    std::map<std::int64_t, std::size_t> place;  // of the entry that a number or its corrections speak of
    for (const RecordEntry& entry : entries) {
        const auto root = entry.corrects ? place.find(*entry.corrects) : place.end();
        if (entry.step != "correction" || root == place.end()) {
            place[entry.number] = out.size();
            out.push_back(entry);
            continue;
        }
        place[entry.number] = root->second;
        replace_values(out[root->second], entry.values);
    }
    return out;
}

}  // namespace tymbal
