// Invented chips of the skerry harbour and their entries, as a laboratory would write them.
#pragma once

#include "tymbal/record/record_file.h"

#include "base/sha256.h"
#include "support/program.h"

#include <initializer_list>
#include <string>
#include <utility>

namespace logs {

using namespace tymbal;

inline RecordedValue value(const std::string& key, double si, double deviation = 0.0) {
    RecordedValue v{key, "as measured", si, {}, "m"};
    if (deviation > 0.0) v.deviation = deviation;
    return v;
}

inline RecordedValue word(const std::string& key, const std::string& text) {
    return {key, text, {}, {}, ""};
}

inline RecordEntry entry(const std::string& step, const std::string& chip, const std::string& device,
                         std::vector<RecordedValue> values = {}, const std::string& date = "2026-03-14") {
    RecordEntry e;
    e.step = step;
    e.chip = chip;
    e.device = device;
    e.date = date;
    e.recorded = "2026-03-15T08:00:00Z";
    e.values = std::move(values);
    return e;
}

/// A chip with devices A1, A2 ... of drawn hole width 2 um.
inline RecordAddition chip(const std::string& name, int devices = 2) {
    RecordAddition out;
    const std::string text = "title = \"Skerry chip\"\n";
    RecordedChip c{name, "Skerry chip", "skerry.toml", sha256_hex(text), {}};
    out.entries.push_back(entry("drawn", name, "", {value("film.stress", 1e9, 3e7)}));
    out.entries.front().files.push_back(
        {"chip", "skerry.toml", c.sha256, static_cast<std::int64_t>(text.size()), text});
    for (int k = 1; k <= devices; ++k) {
        const std::string device = "A" + std::to_string(k);
        c.devices.push_back({device, 1e-3 * k, 0.0, "drum.toml"});
        out.entries.push_back(entry("drawn", name, device, {value("drawn_width", 2e-6)}));
    }
    out.chips.push_back(c);
    return out;
}

inline RecordWriter writer() {
    return {"2026-03-15T08:00:00Z", "tymbal tests"};
}

inline RecordAddition one(RecordEntry e) {
    return {{}, {std::move(e)}};
}

/// A path in a scratch folder where no record is yet.
inline std::string fresh(const std::string& name) {
    const std::string path = (program_run::scratch() / name).string();
    for (const char* ending : {"", "-wal", "-shm", "-journal"}) std::filesystem::remove(path + ending);
    return path;
}

}  // namespace logs
