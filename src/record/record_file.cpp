#include "tymbal/record/record_file.h"

#include "database.h"
#include "journal.h"
#include "record_rows.h"
#include "schema.h"
#include "seals.h"

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
                         "is not there; `tymbal record new CHIP` starts a record, or name another (record)");
}

/// The file itself too: a log that one who may not write it leaves beside it would lock out the one who may.
bool may_write(const std::string& path) {
    const fs::path folder = fs::path(path).parent_path();
    return ::access(path.c_str(), W_OK) == 0 && ::access(folder.empty() ? "." : folder.c_str(), W_OK) == 0;
}

/// A write-ahead log wants to write beside the file even for readers. Where that may not be, and no log is left that
/// would be missed, the file alone is the whole record.
std::unique_ptr<Database> open_for_reading(const std::string& path) {
    std::string log = path;
    std::error_code error;
    const bool log_left = fs::exists(log.append("-wal"), error) && fs::file_size(log, error) > 0;
    const Database::Mode mode = may_write(path) || log_left ? Database::Mode::read : Database::Mode::immutable;
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

namespace {

/// From the record's folder on if it lies below, so that both may move together; else absolute.
std::string placed(const std::string& file, const std::string& record) {
    if (file.empty()) return file;
    const fs::path whole = fs::absolute(file).lexically_normal();
    const fs::path below = whole.lexically_relative(fs::absolute(record).lexically_normal().parent_path());
    return (below.empty() || *below.begin() == ".." ? whole : below).string();
}

RecordAddition placed(RecordAddition addition, const std::string& record) {
    for (RecordedChip& chip : addition.chips) chip.file = placed(chip.file, record);
    for (RecordEntry& entry : addition.entries)
        for (RecordedFile& file : entry.files) file.path = placed(file.path, record);
    return addition;
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
    const RecordAddition placed_here = placed(addition, path);
    for (const RecordedChip& chip : placed_here.chips) insert_chip(database, chip);
    for (const RecordEntry& entry : placed_here.entries) out.numbers.push_back(insert_entry(database, entry).number);
    add_seals(database, placed_here.chips);
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
    for (const RecordEntry& entry : out.entries)
        if (const RecordedValue* broken = broken_value(entry))
            throw InputError({path, 0}, "entry " + std::to_string(entry.number),
                             broken->key + " is no finite number; take the last good copy");
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
    while (all.next()) {
        files.push_back({all.text(0), all.text(1)});
        if (sha256_hex(files.back().bytes) != files.back().sha256)  // and so no name can be a path
            throw InputError({path, 0}, "content",
                             "a kept file is not what its hash says: it was changed; take the last good copy");
    }
    return files;
}

namespace {

using Damage = std::vector<std::string>;

/// Values that cannot be read: no more is said then.
void look_at_pages(Database& database, const std::vector<RecordEntry>& entries, Damage& found) {
    Statement pages(database, "PRAGMA integrity_check(20)");
    while (pages.next())
        if (pages.text(0) != "ok") found.push_back("database: " + pages.text(0));
    for (const RecordEntry& entry : entries)
        if (const RecordedValue* broken = broken_value(entry))
            found.push_back("database: entry " + std::to_string(entry.number) + ": " + broken->key +
                            " is no finite number: it was changed");
}

void look_at_links(Database& database, Damage& found) {
    Statement links(database, "PRAGMA foreign_key_check");
    while (links.next())
        found.push_back("row " + std::to_string(links.integer(1)) + " of " + links.text(0) + " has no " +
                        links.text(2));
    Statement lost(database,
                   "SELECT entry, path FROM attached WHERE role IN ('chip', 'design', 'holes', 'picture', 'measured') "
                   "AND sha256 NOT IN (SELECT sha256 FROM content) ORDER BY entry, path");
    while (lost.next())
        found.push_back("entry " + std::to_string(lost.integer(0)) + ": its file " + lost.text(1) +
                        " is no longer kept");
    Statement chips(database,
                    "SELECT name FROM chip c WHERE EXISTS (SELECT 1 FROM entry e JOIN attached a ON a.entry = e.number "
                    "WHERE e.chip = c.name AND e.step = 'drawn' AND a.role = 'chip') AND NOT EXISTS (SELECT 1 FROM "
                    "entry e JOIN attached a ON a.entry = e.number WHERE e.chip = c.name AND e.step = 'drawn' AND "
                    "a.role = 'chip' AND a.path = c.file AND a.sha256 = c.sha256) ORDER BY number");
    while (chips.next())
        found.push_back("chip '" + chips.text(0) + "' names another file than its drawn entry: it was changed");
}

void look_at_hashes(Database& database, const std::vector<RecordEntry>& entries, Damage& found) {
    std::string before;
    for (const RecordEntry& entry : entries) {
        if (hash_of(entry, before) != entry.sha256)
            found.push_back("entry " + std::to_string(entry.number) + " is not what its hash says: it was changed");
        before = entry.sha256;
    }
    Statement kept(database, "SELECT sha256, bytes FROM content");
    while (kept.next())
        if (sha256_hex(kept.text(1)) != kept.text(0)) found.push_back("kept file " + kept.text(0) + " was changed");
}

}  // namespace

std::vector<std::string> damage_of(const std::string& path) {
    const Opened opened = open_record(path, record_migrations());
    Damage found;
    opened.database->run("BEGIN");  // entries and seals of one moment
    const std::vector<RecordEntry> entries = select_entries(*opened.database, "");
    look_at_pages(*opened.database, entries, found);
    if (!found.empty()) return found;
    look_at_links(*opened.database, found);
    look_at_hashes(*opened.database, entries, found);
    const std::vector<std::string> broken = broken_seals(*opened.database, entries);
    found.insert(found.end(), broken.begin(), broken.end());
    return found;
}

}  // namespace tymbal
