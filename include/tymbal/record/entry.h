// One entry of the log of chips: what was drawn, done, seen or found, of which chip and when. Added, never changed.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace tymbal {

/// One line of an entry's values.
struct RecordedValue {
    std::string key;                    ///< a design key, or a name of the guide's list
    std::string text;                   ///< as it was written
    std::optional<double> value{};      ///< SI; empty for texts
    std::optional<double> deviation{};  ///< one sigma, SI; empty where none was stated
    std::string unit{};                 ///< SI; "1" for ratios, empty for texts
};

/// A file that an entry names. Drawings, designs and measured tables are kept whole; of others only the hash is.
struct RecordedFile {
    std::string role;    ///< chip | design | holes | picture | measured | output | attached
    std::string path;    ///< where it lies: in the record from the record's folder on if it lies below, else absolute
    std::string sha256;  ///< of its bytes, hex
    std::int64_t size = 0;
    std::optional<std::string> bytes{};  ///< to be kept; empty when read back, see kept_files()
};

struct RecordEntry {
    std::int64_t number = 0;  ///< from 1, given when it is added
    std::string step;         ///< drawn | predicted | patterned | planned, or one of STEP.toml
    std::string chip;
    std::string device;    ///< empty: the whole chip
    std::string date;      ///< when it happened, UTC, see utc.h
    std::string recorded;  ///< when it was added, UTC
    std::string by, note;
    std::optional<std::int64_t> corrects{};
    std::vector<RecordedValue> values{};
    std::vector<RecordedFile> files{};
    std::string sha256{};  ///< over the entry and the one before it: a changed entry breaks the chain
};

struct RecordedDevice {
    std::string name;
    double x_m = 0.0, y_m = 0.0;  ///< of its origin from the chip's centre
    std::string design;           ///< file that it was read from
};

struct RecordedChip {
    std::string name;  ///< unique in the record
    std::string title;
    std::string file;    ///< chip file or lone design; path as of RecordedFile
    std::string sha256;  ///< of that file
    std::vector<RecordedDevice> devices;
};

/// What one action adds: all of it or nothing.
struct RecordAddition {
    std::vector<RecordedChip> chips;
    std::vector<RecordEntry> entries;  ///< their number and sha256 are given when they are added
};

/// The first value of a key, or nothing.
[[nodiscard]] const RecordedValue* find_value(const RecordEntry& entry, const std::string& key);

/// All keys that hold the same quantity as this one, itself first: a hole's width is its diameter, side or width across
/// flats.
[[nodiscard]] std::vector<std::string> names_of(const std::string& key);

/// Entries with their corrections: a correction's values take the place of those of the entry that it names, by
/// whichever of names_of() those are called, through corrections of corrections; the corrections themselves are left
/// out. @param entries  in the order of their numbers
[[nodiscard]] std::vector<RecordEntry> corrected(std::vector<RecordEntry> entries);

/// As things happened, not as they were written down; of one moment, by number. A day alone is the moment of its
/// recording where that was the same day, else the day's beginning.
[[nodiscard]] std::vector<RecordEntry> in_order_of_date(std::vector<RecordEntry> entries);

/// What is wrong with a correction, in words; empty: nothing. @param entries  all, uncorrected
[[nodiscard]] std::string correction_fault(const RecordEntry& correction, const std::vector<RecordEntry>& entries);

/// The first value that is no finite number, or whose deviation is none of zero or more; or nothing.
[[nodiscard]] const RecordedValue* broken_value(const RecordEntry& entry);

}  // namespace tymbal
