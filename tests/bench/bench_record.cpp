// Time to show a chip of a long record and to learn from all of it.
//   bench_record [ENTRIES]   writes a record of so many entries (default 100000) into a scratch file
#include "tymbal/record/learn.h"
#include "tymbal/record/record_file.h"

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <utility>

namespace {

using namespace tymbal;

RecordedValue value(const char* key, double si, double deviation, const char* unit) {
    return {key, "as measured", si, deviation, unit};
}

/// Twenty devices a chip, two widths each, and a stress.
RecordAddition chip(int number) {
    RecordAddition out;
    const std::string name = std::string("chip ").append(std::to_string(number));
    out.chips.push_back({name, name, "chip.toml", "", {}});
    const auto add = [&](const char* step, const std::string& device, const RecordedValue& v) {
        RecordEntry e;
        e.step = step;
        e.chip = name;
        e.device = device;
        e.date = e.recorded = "2026-03-14T09:30:00Z";
        e.values = {v};
        out.entries.push_back(e);
    };
    for (int d = 0; d < 20; ++d) {
        const std::string device = std::string("A").append(std::to_string(d));
        out.chips.front().devices.push_back({device, 0.0, 0.0, "drum.toml"});
        const double jitter = 1e-9 * ((number * 7 + d * 13) % 29);
        add("drawn", device, value("drawn_width", 2e-6, 0.0, "m"));
        add("printed", device, value("hole_width", 2.2e-6 + jitter, 2e-8, "m"));
        add("etched", device, value("hole_width", 2.3e-6 - jitter, 2e-8, "m"));
        add("fitted", device, value("film.stress", 1e9 + 1e15 * jitter, 4e6, "Pa"));
    }
    return out;
}

template <class Work>
void timed(const char* what, const Work& work) {
    const auto began = std::chrono::steady_clock::now();
    work();
    std::printf("%-40s %.3f s\n", what,
                std::chrono::duration<double>(std::chrono::steady_clock::now() - began).count());
}

}  // namespace

int main(int argc, char** argv) {
    const int entries = argc > 1 ? std::atoi(argv[1]) : 100'000;
    const std::string path = (std::filesystem::temp_directory_path() / "tymbal-bench-record.db").string();
    std::filesystem::remove(path);
    RecordAddition all;
    for (int number = 0; number < entries / 80; ++number) {
        RecordAddition one = chip(number);
        all.chips.push_back(one.chips.front());
        all.entries.insert(all.entries.end(), one.entries.begin(), one.entries.end());
    }
    const RecordWriter writer{"2026-03-14T09:30:00Z", "bench"};
    timed("all added at once", [&] { add_to_record(path, all, writer); });
    RecordAddition more = chip(entries);
    timed("one chip added", [&] { add_to_record(path, more, writer); });
    timed("show: one chip read", [&] { (void)read_record(path, "chip 7"); });
    RecordContents record;
    timed("everything read", [&] { record = read_record(path); });
    const std::size_t all_entries = record.entries.size();
    timed("learned from it", [&] { (void)learn(corrected(std::move(record.entries))); });
    timed("hashes and pages checked", [&] { (void)damage_of(path); });
    std::printf("%zu entries, %.1f MB\n", all_entries, 1e-6 * static_cast<double>(std::filesystem::file_size(path)));
    std::filesystem::remove(path);
}
