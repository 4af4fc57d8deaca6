#include "tymbal/record/record_file.h"

#include "database.h"
#include "journal.h"
#include "record_rows.h"
#include "schema.h"

#include "../base/sha256.h"

#include "tymbal/base/error.h"

#include <filesystem>
#include <memory>

#include <unistd.h>

namespace tymbal {

namespace fs = std::filesystem;

namespace {

constexpr int reader_patience_ms = 10'000;

void require_file(const std::string& path) {
    std::error_code error;
    if (fs::is_directory(path, error)) throw InputError({path, 0}, "", "is a folder; name the record's file");
    if (!fs::exists(path, error))
        throw InputError({path, 0}, "",
                         "is not there; `tymbal record new CHIP` starts a record, --record FILE names another");
}

bool may_write_beside(const std::string& path) {
    const fs::path folder = fs::path(path).parent_path();
    return ::access(folder.empty() ? "." : folder.c_str(), W_OK) == 0;
}

/// A write-ahead log wants to write beside the file even for readers. Where that may not be, and no log is left that
/// would be missed, the file alone is the whole record.
std::unique_ptr<Database> open_for_reading(const std::string& path) {
    std::string log = path;
    std::error_code error;
    const bool log_left = fs::exists(log.append("-wal"), error) && fs::file_size(log, error) > 0;
    const Database::Mode mode = may_write_beside(path) || log_left ? Database::Mode::read : Database::Mode::immutable;
    auto database = std::make_unique<Database>(path, mode, reader_patience_ms);
    database->run("PRAGMA query_only = ON");
    return database;
}

struct Opened {
    std::unique_ptr<Database> database;
    int version = 0;
};

/// Of an older version a copy in memory is brought up to date.
Opened open_record(const std::string& path, std::span<const Migration> migrations) {
    require_file(path);
    Opened out{open_for_reading(path), 0};
    out.version = record_version(*out.database, migrations);
    if (out.version == 0) throw InputError({path, 0}, "", "holds no record yet; `tymbal record new CHIP` starts one");
    if (out.version == migrations.back().version) return out;
    auto copy = std::make_unique<Database>(path, Database::Mode::memory, 0);
    copy->copy_from(*out.database);
    migrate(*copy, out.version, {"", "", migrations, 0});
    out.database = std::move(copy);
    return out;
}

/// @returns whether a rollback journal had to do
bool choose_journal(Database& database) {
    const bool network = on_network_disk(database.path());
    std::string now = database.text("PRAGMA journal_mode");
    const char* wanted = network ? "delete" : "wal";
    try {
        if (now != wanted) now = database.text(std::string("PRAGMA journal_mode = ").append(wanted));
    } catch (const InputError&) {  // another program is at it just now: either journal keeps what is added
    }
    database.run("PRAGMA synchronous = FULL; PRAGMA foreign_keys = ON");
    return network || now != "wal";
}

void require_sound(Database& database) {
    const std::string found = database.text("PRAGMA quick_check(1)");
    if (found != "ok")
        throw InputError({database.path(), 0}, "",
                         "is damaged (" + found + "), and nothing was added; take the last good copy");
}

}  // namespace

RecordAdded add_to_record(const std::string& path, const RecordAddition& addition, const RecordWriter& writer) {
    std::error_code error;
    if (fs::is_directory(path, error)) throw InputError({path, 0}, "", "is a folder; name the record's file");
    RecordAdded out;
    out.created = !fs::exists(path, error);
    if (out.created && addition.chips.empty()) require_file(path);
    Database database(path, Database::Mode::write, writer.patience_ms);
    (void)record_version(database, writer.migrations);  // before anything is written
    out.network_disk = choose_journal(database);
    require_sound(database);
    Transaction all(database);
    const int version = record_version(database, writer.migrations);
    migrate(database, version, writer);
    for (const RecordedChip& chip : addition.chips) insert_chip(database, chip);
    for (const RecordEntry& entry : addition.entries) out.numbers.push_back(insert_entry(database, entry).number);
    all.commit();
    return out;
}

RecordContents read_record(const std::string& path, const std::string& chip, std::span<const Migration> migrations) {
    const Opened opened = open_record(path, migrations);
    RecordContents out;
    opened.database->run("BEGIN");  // chips and entries of one moment
    out.chips = select_chips(*opened.database);
    out.entries = select_entries(*opened.database, chip);
    out.version = opened.version;
    return out;
}

std::vector<RecordedChip> read_chips(const std::string& path, std::span<const Migration> migrations) {
    const Opened opened = open_record(path, migrations);
    return select_chips(*opened.database);
}

std::vector<KeptFile> kept_files(const std::string& path) {
    const Opened opened = open_record(path, record_migrations());
    Statement all(*opened.database, "SELECT sha256, bytes FROM content ORDER BY sha256");
    std::vector<KeptFile> files;
    while (all.next()) files.push_back({all.text(0), all.text(1)});
    return files;
}

std::vector<std::string> damage_of(const std::string& path) {
    const Opened opened = open_record(path, record_migrations());
    Database& database = *opened.database;
    std::vector<std::string> found;
    Statement pages(database, "PRAGMA integrity_check(20)");
    while (pages.next())
        if (pages.text(0) != "ok") found.push_back("database: " + pages.text(0));
    if (!found.empty()) return found;
    Statement links(database, "PRAGMA foreign_key_check");
    while (links.next())
        found.push_back("row " + std::to_string(links.integer(1)) + " of " + links.text(0) + " has no " +
                        links.text(2));
    std::string before;
    for (const RecordEntry& entry : select_entries(database, "")) {
        if (hash_of(entry, before) != entry.sha256)
            found.push_back("entry " + std::to_string(entry.number) + " is not what its hash says: it was changed");
        before = entry.sha256;
    }
    Statement kept(database, "SELECT sha256, bytes FROM content");
    while (kept.next())
        if (sha256_hex(kept.text(1)) != kept.text(0)) found.push_back("kept file " + kept.text(0) + " was changed");
    return found;
}

}  // namespace tymbal
