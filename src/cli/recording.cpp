#include "recording.h"

#include "output.h"

#include "tymbal/base/error.h"
#include "tymbal/read/read_step.h"
#include "tymbal/read/record_chip.h"
#include "tymbal/record/utc.h"
#include "tymbal/text/version.h"

#include <algorithm>
#include <ctime>
#include <filesystem>
#include <iostream>
#include <iterator>
#include <utility>

namespace tymbal {

namespace {

std::vector<RecordedChip> chips_in(const std::string& record) {
    std::error_code error;
    if (!std::filesystem::exists(record, error) || std::filesystem::is_empty(record, error)) return {};
    return read_chips(record);
}

namespace fs = std::filesystem;

fs::path whole(const fs::path& folder, const std::string& file) {
    return fs::absolute(folder / file).lexically_normal();
}

/// The chip that the design belongs to: named, or drawn from these bytes, or from this file; empty: none yet.
std::string chip_for(const Recording& recording, const std::string& design, const std::vector<RecordedChip>& chips) {
    if (!recording.chip.empty()) return chip_named(recording.chip, chips, recording.file);
    const std::string sha = named_file("design", design).sha256;
    std::vector<std::string> same_bytes, same_file;
    for (const RecordedChip& c : chips) {
        if (c.sha256 == sha) same_bytes.push_back(c.name);
        if (whole(fs::path(recording.file).parent_path(), c.file) == whole("", design)) same_file.push_back(c.name);
    }
    const std::vector<std::string>& drawn = same_bytes.empty() ? same_file : same_bytes;
    const fs::path name = fs::path(design).filename();
    if (drawn.size() == 1) return drawn.front();
    if (!drawn.empty()) return chip_named(name.string(), chips, recording.file);
    for (const RecordedChip& c : chips)
        if (fs::path(c.file).filename() == name)
            throw InputError({design, 0}, "--record",
                             "is not the file that chip '" + c.name + "' was drawn from, " + c.file +
                                 ", but has its name; say which chip it is by --record-chip, or add it by `tymbal "
                                 "record new` with --name");
    return "";
}

bool is_asked(const Recording& recording) {
    if (recording.file.empty() && !recording.chip.empty())
        throw InputError({}, "--record-chip", "is given without --record; name the record's file");
    return !recording.file.empty();
}

/// A lone design's device; a chip's entries name theirs.
std::string only_device(const RecordedChip& chip) {
    return chip.devices.size() == 1 ? chip.devices.front().name : "";
}

/// What a new chip is made with.
struct NewChip {
    std::string now;
    const Materials& materials;
    const ReadLimits& limits;
};

/// The chip of a design; one that nobody knows is added, and known to the designs that follow.
RecordedChip chip_of(const Recording& recording, const std::string& design, const NewChip& with,
                     std::vector<RecordedChip>& known, RecordAddition& addition) {
    const std::string name = chip_for(recording, design, known);
    for (const RecordedChip& chip : known)
        if (!name.empty() && chip.name == name) return chip;
    RecordAddition fresh = chip_addition({design, "", ""}, with.now, with.materials, with.limits);
    RecordedChip chip = fresh.chips.front();
    known.push_back(chip);
    std::move(fresh.chips.begin(), fresh.chips.end(), std::back_inserter(addition.chips));
    std::move(fresh.entries.begin(), fresh.entries.end(), std::back_inserter(addition.entries));
    return chip;
}

}  // namespace

void add_recording(CLI::App& command, Recording& recording) {
    command.add_option("--record", recording.file, "add what was done to this record of chips, see `tymbal record`")
        ->type_name("FILE");
    command
        .add_option("--record-chip", recording.chip,
                    "name of the chip in the record; default: the one drawn from this design")
        ->type_name("NAME");
}

std::string now_utc() {
    return utc_text(static_cast<std::int64_t>(std::time(nullptr)));
}

RecordWriter record_writer() {
    return {now_utc(), std::string("tymbal ") + version};
}

std::optional<ReportedRecord> recorded_chip(const Recording& recording, const std::string& chip) {
    if (!is_asked(recording)) return std::nullopt;
    const std::string name = chip_for(recording, chip, read_chips(recording.file));
    if (name.empty())
        throw InputError({recording.file, 0}, "",
                         "holds no chip drawn from " + chip + "; name one with --record-chip, or add it with `tymbal " +
                             "record new`");
    return ReportedRecord{read_record(recording.file, name), name};
}

void say_recorded(std::ostream& out, const std::string& file, const RecordAdded& added) {
    if (added.numbers.empty()) return;
    out << file << ": added " << (added.numbers.size() == 1 ? "entry " : "entries ") << added.numbers.front();
    if (added.numbers.size() > 1) out << " to " << added.numbers.back();
    out << '\n';
    if (added.network_disk)
        std::cerr << file
                  << ": lies on a disk of another machine, so a rollback journal stands for the write-ahead log: "
                     "writers wait for readers, and its locks must work; a copy on an own disk is the surest\n";
}

void require_recordable(const Recording& recording, const std::string& design,
                        const std::vector<std::string>& targets) {
    if (!is_asked(recording)) return;
    require_kept({{recording.file, "record"}}, targets);
    std::error_code error;
    const fs::path folder = fs::path(recording.file).parent_path();
    if (!folder.empty() && !fs::is_directory(folder, error))
        throw InputError({recording.file, 0}, "--record", "lies in a folder that is not there; make it first");
    (void)chip_for(recording, design, chips_in(recording.file));
}

void record_entries(const Recording& recording, std::vector<DesignEntries> all, const Materials& materials,
                    const ReadLimits& limits, bool quiet) {
    for (const DesignEntries& one : all) require_recordable(recording, one.design);
    if (recording.file.empty()) return;
    const RecordWriter writer = record_writer();
    std::vector<RecordedChip> known = chips_in(recording.file);
    RecordAddition addition;
    for (DesignEntries& one : all) {
        const RecordedChip chip = chip_of(recording, one.design, {writer.now, materials, limits}, known, addition);
        for (RecordEntry& e : one.entries) {
            e.chip = chip.name;
            if (e.device.empty()) e.device = only_device(chip);
            e.date = e.recorded = writer.now;
            e.files.push_back(kept_file("design", one.design));
            addition.entries.push_back(std::move(e));
        }
    }
    const RecordAdded added = add_to_record(recording.file, addition, writer);
    if (!quiet) say_recorded(std::cerr, recording.file, added);
}

}  // namespace tymbal
