#include "schema.h"

#include "record_rows.h"
#include "seals.h"

#include "tymbal/base/error.h"

#include <array>

namespace tymbal {

namespace {

/// A version that was ever released is never edited: files of it are out there. Add the next one instead.
constexpr std::array<Migration, 2> migrations{{{1, R"sql(
CREATE TABLE history (           -- versions that the tables have been through
  version INTEGER PRIMARY KEY,
  at TEXT NOT NULL,              -- UTC
  program TEXT NOT NULL);
CREATE TABLE content (           -- files that are kept whole
  sha256 TEXT PRIMARY KEY,
  bytes BLOB NOT NULL);
CREATE TABLE chip (
  number INTEGER PRIMARY KEY,
  name TEXT NOT NULL UNIQUE,
  title TEXT NOT NULL,
  file TEXT NOT NULL,            -- chip file or lone design
  sha256 TEXT NOT NULL);         -- of that file
CREATE TABLE device (
  number INTEGER PRIMARY KEY,
  chip TEXT NOT NULL REFERENCES chip(name),
  name TEXT NOT NULL,
  x_m REAL NOT NULL,             -- origin from the chip's centre
  y_m REAL NOT NULL,
  design TEXT NOT NULL,          -- file
  UNIQUE (chip, name));
CREATE TABLE entry (
  number INTEGER PRIMARY KEY,    -- 1, 2, 3 ... without gaps
  step TEXT NOT NULL,
  chip TEXT NOT NULL REFERENCES chip(name),
  device TEXT,                   -- null: the whole chip
  date TEXT NOT NULL,            -- UTC, when it happened
  recorded TEXT NOT NULL,        -- UTC, when it was added
  person TEXT,
  note TEXT,
  corrects INTEGER REFERENCES entry(number),
  sha256 TEXT NOT NULL);         -- over this entry and the hash of the one before
CREATE INDEX entry_of_chip ON entry (chip, number);
CREATE TABLE value (
  entry INTEGER NOT NULL REFERENCES entry(number),
  key TEXT NOT NULL,
  text TEXT NOT NULL,            -- as it was written
  value REAL,                    -- SI; null for texts
  deviation REAL,                -- one sigma, SI; null: not stated
  unit TEXT,                     -- SI
  PRIMARY KEY (entry, key)) WITHOUT ROWID;
CREATE TABLE attached (
  entry INTEGER NOT NULL REFERENCES entry(number),
  role TEXT NOT NULL,
  path TEXT NOT NULL,
  sha256 TEXT NOT NULL,          -- a row of content where the file is kept whole
  size INTEGER NOT NULL,
  PRIMARY KEY (entry, role, path)) WITHOUT ROWID;
CREATE TRIGGER chip_stays BEFORE UPDATE ON chip BEGIN SELECT RAISE(ABORT, 'chips are never changed'); END;
CREATE TRIGGER chip_kept BEFORE DELETE ON chip BEGIN SELECT RAISE(ABORT, 'chips are never removed'); END;
CREATE TRIGGER device_stays BEFORE UPDATE ON device BEGIN SELECT RAISE(ABORT, 'devices are never changed'); END;
CREATE TRIGGER device_kept BEFORE DELETE ON device BEGIN SELECT RAISE(ABORT, 'devices are never removed'); END;
CREATE TRIGGER entry_stays BEFORE UPDATE ON entry BEGIN SELECT RAISE(ABORT, 'entries are never changed; add a correction'); END;
CREATE TRIGGER entry_kept BEFORE DELETE ON entry BEGIN SELECT RAISE(ABORT, 'entries are never removed; add a correction'); END;
CREATE TRIGGER value_stays BEFORE UPDATE ON value BEGIN SELECT RAISE(ABORT, 'values are never changed; add a correction'); END;
CREATE TRIGGER value_kept BEFORE DELETE ON value BEGIN SELECT RAISE(ABORT, 'values are never removed; add a correction'); END;
CREATE TRIGGER attached_stays BEFORE UPDATE ON attached BEGIN SELECT RAISE(ABORT, 'hashes are never changed'); END;
CREATE TRIGGER attached_kept BEFORE DELETE ON attached BEGIN SELECT RAISE(ABORT, 'hashes are never removed'); END;
CREATE TRIGGER content_stays BEFORE UPDATE ON content BEGIN SELECT RAISE(ABORT, 'kept files are never changed'); END;
CREATE TRIGGER content_kept BEFORE DELETE ON content BEGIN SELECT RAISE(ABORT, 'kept files are never removed'); END;
)sql"},
                                               {2, R"sql(
CREATE TABLE seal (              -- left by each addition, against changes that no entry's hash tells
  number INTEGER PRIMARY KEY,    -- 1, 2, 3 ... without gaps
  entry INTEGER,                 -- the last one; null: over a chip
  chip TEXT,                     -- with its devices; null: over an entry
  sha256 TEXT NOT NULL);         -- over that, and the hash of the seal before
CREATE TRIGGER seal_stays BEFORE UPDATE ON seal BEGIN SELECT RAISE(ABORT, 'seals are never changed'); END;
CREATE TRIGGER seal_kept BEFORE DELETE ON seal BEGIN SELECT RAISE(ABORT, 'seals are never removed'); END;
)sql"}}};

}  // namespace

std::span<const Migration> record_migrations() {
    return migrations;
}

int record_version(Database& database, std::span<const Migration> known) {
    // In one statement, which sees one moment: another program may be making the tables.
    Statement asked(database,
                    "SELECT user_version, application_id, (SELECT count(*) FROM sqlite_schema) "
                    "FROM pragma_user_version, pragma_application_id");
    (void)asked.next();
    const std::int64_t version = asked.integer(0), application = asked.integer(1);
    const bool empty = asked.integer(2) == 0;
    if (empty && version == 0 && application == 0) return 0;
    if (application != record_application)
        throw InputError({database.path(), 0}, "", "is an SQLite database, but no record of chips; name another file");
    if (version <= known.back().version && version >= known.front().version) return static_cast<int>(version);
    if (version < known.front().version)
        throw InputError({database.path(), 0}, "",
                         "has tables of version " + std::to_string(version) +
                             ", which no program has written: it was changed; take the last good copy");
    std::string words = "was written by a newer program: its tables have version ";
    words.append(std::to_string(version)).append(", this program knows up to ");
    words.append(std::to_string(known.back().version)).append("; use the newer program. Nothing was changed");
    throw InputError({database.path(), 0}, "", words);
}

void migrate(Database& database, int from, const RecordWriter& writer) {
    for (const Migration& step : writer.migrations) {
        if (step.version <= from) continue;
        database.run(step.sql);
        Statement told(database, "INSERT INTO history (version, at, program) VALUES (?, ?, ?)");
        told.bind(std::int64_t{step.version}).bind(writer.now).bind(writer.program).run();
    }
    const int newest = writer.migrations.back().version;
    if (newest == from) return;
    if (from < first_with_seals) add_seals(database, select_chips(database));  // nobody knows what they were before
    std::string marks = "PRAGMA user_version = ";
    marks.append(std::to_string(newest)).append("; PRAGMA application_id = ");
    database.run(marks.append(std::to_string(record_application)));
}

}  // namespace tymbal
