#include "measured_conditions.h"

#include "tymbal/base/parse_quantity.h"

#include <algorithm>
#include <functional>

namespace tymbal {

namespace {

struct Entry {
    std::string key, value;
};

std::optional<Entry> entry_in(std::string_view line) {
    std::string_view text = trimmed(line);
    while (!text.empty() && (text.front() == '#' || text.front() == '%' || text.front() == '!' || text.front() == '/'))
        text.remove_prefix(1);
    const std::size_t at = text.find_first_of(":=;,\t");
    if (at == std::string_view::npos) return std::nullopt;
    std::string value(trimmed(text.substr(at + 1)));
    // "temperature;295;K" is how some instruments write a quantity.
    std::replace_if(
        value.begin(), value.end(), [](char c) { return c == ';' || c == '\t'; }, ' ');
    return Entry{lower(trimmed(text.substr(0, at))), value};
}

void take(const Entry& entry, Kind kind, Measured& into, const std::function<void(double)>& keep) {
    try {
        keep(parse_quantity(entry.value, kind).value);
    } catch (const UnitError& e) {
        std::string note = "recorded ";
        into.notes.push_back(note.append(entry.key).append(" ").append(e.what()).append(": not used"));
    }
}

}  // namespace

void read_condition(std::string_view line, Measured& into) {
    const std::optional<Entry> entry = entry_in(line);
    if (!entry || entry->value.empty()) return;
    const std::string& key = entry->key;
    Conditions& c = into.conditions;
    if (key == "date") c.date = entry->value;
    if (key == "mount") c.mount = entry->value;
    if (key == "spot") c.spot = entry->value;
    if (key == "pressure") take(*entry, Kind::pressure, into, [&](double v) { c.pressure_pa = v; });
    if (key == "temperature") take(*entry, Kind::temperature, into, [&](double v) { c.temperature_k = v; });
    if (key == "laser power") take(*entry, Kind::power, into, [&](double v) { c.power_w = v; });
    if (key == "resolution" || key == "resolution bandwidth" || key == "rbw")
        take(*entry, Kind::frequency, into, [&](double v) { into.spectrum.resolution_hz = v; });
    if (key == "frequency" || key == "mode frequency")
        take(*entry, Kind::frequency, into, [&](double v) { into.decay.frequency_hz = v; });
}

}  // namespace tymbal
