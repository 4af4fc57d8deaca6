// The record of chips as a file: an SQLite database in which entries are added whole or not at all, and none is
// changed.
#pragma once

#include "tymbal/record/entry.h"

#include <span>
#include <string>
#include <vector>

namespace tymbal {

/// One step from a version of the tables to the next, as SQL.
struct Migration {
    int version = 0;  ///< that it leads to
    const char* sql = "";
};

/// All versions from the first, in order; the last one is what is written.
[[nodiscard]] std::span<const Migration> record_migrations();

/// Who writes, and when: the library reads no clock.
struct RecordWriter {
    std::string now;      ///< UTC, see utc.h
    std::string program;  ///< name and version
    std::span<const Migration> migrations = record_migrations();
    int patience_ms = 10'000;  ///< how long to wait for another writer
};

/// What adding came to.
struct RecordAdded {
    std::vector<std::int64_t> numbers;  ///< of the entries
    bool created = false;               ///< the file was not there
    bool network_disk = false;          ///< it lies on one, so a rollback journal stands for the write-ahead log
};

/// Adds all in one transaction, and makes the file when there is none. Chips must be new, entries speak of chips that
/// are there, corrections of entries of the same chip. Paths of files count from the working folder.
/// @throws InputError  none of it was added: what is wrong, or what the disk did
RecordAdded add_to_record(const std::string& path, const RecordAddition& addition, const RecordWriter& writer);

/// The whole log, or one chip's part.
struct RecordContents {
    std::vector<RecordedChip> chips;   ///< in the order they were added
    std::vector<RecordEntry> entries;  ///< by number, uncorrected
    int version = 0;                   ///< of the tables in the file
};

/// Never creates or changes the file; older versions are read as if they had been brought up to date.
/// @param chip  empty: all
/// @throws InputError when there is none, it is no record, damaged, or of a newer version
[[nodiscard]] RecordContents read_record(const std::string& path, const std::string& chip = "",
                                         std::span<const Migration> migrations = record_migrations());

/// Names of the chips, as in read_record.
[[nodiscard]] std::vector<RecordedChip> read_chips(const std::string& path,
                                                   std::span<const Migration> migrations = record_migrations());

struct KeptFile {
    std::string sha256;
    std::string bytes;
};
/// Every file that is kept whole, each under the hash of its bytes. @throws InputError when one was changed
[[nodiscard]] std::vector<KeptFile> kept_files(const std::string& path);

/// What the database itself finds wrong with its pages and links, and entries, files or chips that are not what their
/// hash or seal says; empty: nothing.
[[nodiscard]] std::vector<std::string> damage_of(const std::string& path);

}  // namespace tymbal
