#include "record_rows.h"

#include "hashed.h"

#include "tymbal/base/error.h"
#include "tymbal/base/nearest.h"

#include <algorithm>
#include <map>

namespace tymbal {

namespace {

void insert_values(Database& database, const RecordEntry& entry) {
    Statement add(database, "INSERT INTO value (entry, key, text, value, deviation, unit) VALUES (?, ?, ?, ?, ?, ?)");
    for (const RecordedValue& v : entry.values)
        add.bind(entry.number).bind(v.key).bind(v.text).bind(v.value).bind(v.deviation).bind_or_null(v.unit).run();
}

void insert_files(Database& database, const RecordEntry& entry) {
    Statement keep(database, "INSERT OR IGNORE INTO content (sha256, bytes) VALUES (?, ?)");
    Statement add(database, "INSERT INTO attached (entry, role, path, sha256, size) VALUES (?, ?, ?, ?, ?)");
    for (const RecordedFile& f : entry.files) {
        if (f.bytes) keep.bind(f.sha256).bind_bytes(*f.bytes).run();
        add.bind(entry.number).bind(f.role).bind(f.path).bind(f.sha256).bind(f.size).run();
    }
}

std::vector<std::string> names(Database& database, const std::string& sql, const std::string& value = "") {
    Statement statement(database, sql);
    if (!value.empty()) statement.bind(value);
    std::vector<std::string> all;
    while (statement.next()) all.push_back(statement.text(0));
    return all;
}

bool holds(const std::vector<std::string>& all, const std::string& name) {
    return std::find(all.begin(), all.end(), name) != all.end();
}

std::string some_of(const std::vector<std::string>& all) {
    std::string text;
    for (std::size_t k = 0; k < all.size() && k < 12; ++k) text.append(k == 0 ? "" : ", ").append(all[k]);
    return text.append(all.size() > 12 ? ", ..." : "");
}

void require_chip(Database& database, const std::string& chip) {
    if (!names(database, "SELECT name FROM chip WHERE name = ?", chip).empty()) return;
    const std::vector<std::string> chips = names(database, "SELECT name FROM chip ORDER BY number");
    throw InputError({database.path(), 0}, "chip",
                     "has none named '" + chip + "'" + suggestion(chip, chips) + "; it has " + some_of(chips));
}

void require_device(Database& database, const RecordEntry& entry) {
    if (entry.device.empty()) return;
    const std::vector<std::string> devices =
        names(database, "SELECT name FROM device WHERE chip = ? ORDER BY number", entry.chip);
    if (holds(devices, entry.device)) return;
    throw InputError({database.path(), 0}, "device",
                     "chip '" + entry.chip + "' has none named '" + entry.device + "'" +
                         suggestion(entry.device, devices) + "; it has " + some_of(devices));
}

void require_corrected(Database& database, const RecordEntry& entry) {
    if (!entry.corrects) return;
    const std::string fault = correction_fault(entry, select_entries(database, ""));
    if (!fault.empty()) throw InputError({database.path(), 0}, "corrects", fault);
}

void require_numbers(Database& database, const RecordEntry& entry) {
    if (const RecordedValue* broken = broken_value(entry))
        throw InputError({database.path(), 0}, broken->key,
                         "is no finite number, or its deviation is none of zero or more");
}

}  // namespace

std::string hash_of(const RecordEntry& e, const std::string& before) {
    std::vector<std::string> texts{before,     std::to_string(e.number),
                                   e.step,     e.chip,
                                   e.device,   e.date,
                                   e.recorded, e.by,
                                   e.note,     e.corrects ? std::to_string(*e.corrects) : std::string("-")};
    for (const RecordedValue& v : e.values)
        texts.insert(texts.end(), {v.key, v.text, exact_text(v.value), exact_text(v.deviation), v.unit});
    for (const RecordedFile& f : e.files) texts.insert(texts.end(), {f.role, f.path, f.sha256, std::to_string(f.size)});
    return hash_of(texts);
}

void insert_chip(Database& database, const RecordedChip& chip) {
    if (!names(database, "SELECT name FROM chip WHERE name = ?", chip.name).empty())
        throw InputError({database.path(), 0}, "chip",
                         "has one named '" + chip.name + "' already; give this one a name of its own (name)");
    Statement(database, "INSERT INTO chip (name, title, file, sha256) VALUES (?, ?, ?, ?)")
        .bind(chip.name)
        .bind(chip.title)
        .bind(chip.file)
        .bind(chip.sha256)
        .run();
    Statement add(database, "INSERT INTO device (chip, name, x_m, y_m, design) VALUES (?, ?, ?, ?, ?)");
    for (const RecordedDevice& d : chip.devices)
        add.bind(chip.name).bind(d.name).bind(d.x_m).bind(d.y_m).bind(d.design).run();
}

RecordEntry insert_entry(Database& database, RecordEntry entry) {
    require_chip(database, entry.chip);
    require_device(database, entry);
    require_corrected(database, entry);
    require_numbers(database, entry);
    // In the order that they are read back, which the hash is taken over.
    std::sort(entry.values.begin(), entry.values.end(), [](const auto& a, const auto& b) { return a.key < b.key; });
    std::sort(entry.files.begin(), entry.files.end(),
              [](const auto& a, const auto& b) { return a.role != b.role ? a.role < b.role : a.path < b.path; });
    entry.number = database.number("SELECT coalesce(max(number), 0) + 1 FROM entry");
    entry.sha256 = hash_of(entry, database.text("SELECT sha256 FROM entry ORDER BY number DESC LIMIT 1"));
    Statement(database,
              "INSERT INTO entry (number, step, chip, device, date, recorded, person, note, corrects, sha256) "
              "VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)")
        .bind(entry.number)
        .bind(entry.step)
        .bind(entry.chip)
        .bind_or_null(entry.device)
        .bind(entry.date)
        .bind(entry.recorded)
        .bind_or_null(entry.by)
        .bind_or_null(entry.note)
        .bind(entry.corrects)
        .bind(entry.sha256)
        .run();
    insert_values(database, entry);
    insert_files(database, entry);
    return entry;
}

std::vector<RecordedChip> select_chips(Database& database) {
    std::vector<RecordedChip> chips;
    std::map<std::string, std::size_t> place;
    Statement all(database, "SELECT name, title, file, sha256 FROM chip ORDER BY number");
    while (all.next()) {
        place[all.text(0)] = chips.size();
        chips.push_back({all.text(0), all.text(1), all.text(2), all.text(3), {}});
    }
    Statement devices(database, "SELECT chip, name, x_m, y_m, design FROM device ORDER BY number");
    while (devices.next())
        if (const auto found = place.find(devices.text(0)); found != place.end())
            chips[found->second].devices.push_back(
                {devices.text(1), devices.real(2).value_or(0.0), devices.real(3).value_or(0.0), devices.text(4)});
    return chips;
}

namespace {

std::vector<RecordEntry> bare_entries(Database& database, const std::string& chip) {
    std::vector<RecordEntry> entries;
    Statement all(database, std::string("SELECT number, step, chip, device, date, recorded, person, note, corrects, "
                                        "sha256 FROM entry ")
                                .append(chip.empty() ? "" : "WHERE chip = ? ")
                                .append("ORDER BY number"));
    if (!chip.empty()) all.bind(chip);
    while (all.next()) {
        RecordEntry e;
        e.number = all.integer(0);
        e.step = all.text(1);
        e.chip = all.text(2);
        e.device = all.text(3);
        e.date = all.text(4);
        e.recorded = all.text(5);
        e.by = all.text(6);
        e.note = all.text(7);
        if (!all.is_null(8)) e.corrects = all.integer(8);
        e.sha256 = all.text(9);
        entries.push_back(std::move(e));
    }
    return entries;
}

/// Rows of a table that belong to entries, both in the order of numbers: `add(entry, row)` for each pair.
template <class Add>
void join(Database& database, const std::string& columns, const std::string& table, const std::string& chip,
          std::vector<RecordEntry>& entries, const Add& add) {
    std::string sql = "SELECT t.entry, ";
    sql.append(columns).append(" FROM ").append(table).append(" t ");
    if (!chip.empty()) sql.append("JOIN entry e ON e.number = t.entry WHERE e.chip = ? ");
    Statement rows(database, sql.append("ORDER BY t.entry"));
    if (!chip.empty()) rows.bind(chip);
    std::size_t at = 0;
    while (rows.next()) {
        while (at < entries.size() && entries[at].number < rows.integer(0)) ++at;
        if (at < entries.size() && entries[at].number == rows.integer(0)) add(entries[at], rows);
    }
}

}  // namespace

std::vector<RecordEntry> select_entries(Database& database, const std::string& chip) {
    std::vector<RecordEntry> entries = bare_entries(database, chip);
    join(database, "t.key, t.text, t.value, t.deviation, t.unit", "value", chip, entries,
         [](RecordEntry& entry, const Statement& row) {
             entry.values.push_back({row.text(1), row.text(2), row.real(3), row.real(4), row.text(5)});
         });
    join(database, "t.role, t.path, t.sha256, t.size", "attached", chip, entries,
         [](RecordEntry& entry, const Statement& row) {
             entry.files.push_back({row.text(1), row.text(2), row.text(3), row.integer(4), {}});
         });
    return entries;
}

}  // namespace tymbal
