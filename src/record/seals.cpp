#include "seals.h"

#include "hashed.h"
#include "record_rows.h"

#include <algorithm>
#include <map>
#include <optional>

namespace tymbal {

namespace {

std::string seal_of(const RecordedChip& chip, const std::string& before) {
    std::vector<std::string> texts{before, "chip", chip.name, chip.title, chip.file, chip.sha256};
    for (const RecordedDevice& d : chip.devices)
        texts.insert(texts.end(), {d.name, exact_text(d.x_m), exact_text(d.y_m), d.design});
    return hash_of(texts);
}

std::string seal_of(std::int64_t entry, const std::string& sha256, const std::string& before) {
    return hash_of({before, "entry", std::to_string(entry), sha256});
}

std::string last_seal(Database& database) {
    return database.text("SELECT sha256 FROM seal ORDER BY number DESC LIMIT 1");
}

void seal_chip(Database& database, const RecordedChip& chip) {
    const std::string sha256 = seal_of(chip, last_seal(database));
    Statement(database, "INSERT INTO seal (chip, sha256) VALUES (?, ?)").bind(chip.name).bind(sha256).run();
}

void seal_last_entry(Database& database) {
    Statement last(database, "SELECT number, sha256 FROM entry ORDER BY number DESC LIMIT 1");
    if (!last.next()) return;
    const std::string sha256 = seal_of(last.integer(0), last.text(1), last_seal(database));
    Statement(database, "INSERT INTO seal (entry, sha256) VALUES (?, ?)").bind(last.integer(0)).bind(sha256).run();
}

/// "entries 5 to 7 are"
std::string entries_from(std::int64_t from, std::int64_t to) {
    const std::string first = std::to_string(from);
    return from == to ? "entry " + first + " is" : "entries " + first + " to " + std::to_string(to) + " are";
}

/// One row; a seal is over a chip or over an entry.
struct Seal {
    std::int64_t number = 0, entry = 0;  ///< entry 0: over the chip
    std::string chip, sha256;
    std::optional<std::string> before{};  ///< hash of the seal before; nothing: that one is missing
};

std::vector<Seal> select_seals(Database& database) {
    std::vector<Seal> seals;
    Statement all(database, "SELECT number, entry, chip, sha256 FROM seal ORDER BY number");
    while (all.next()) {
        Seal seal{all.integer(0), all.integer(1), all.text(2), all.text(3)};
        if (seals.empty() ? seal.number == 1 : seal.number == seals.back().number + 1)
            seal.before = seals.empty() ? "" : seals.back().sha256;
        seals.push_back(std::move(seal));
    }
    return seals;
}

using Found = std::vector<std::string>;

void look_at_chips(const std::vector<Seal>& seals, const std::vector<RecordedChip>& chips, Found& found) {
    std::map<std::string, const RecordedChip*> unsealed;
    for (const RecordedChip& chip : chips) unsealed.emplace(chip.name, &chip);
    for (const Seal& seal : seals) {
        if (seal.entry != 0) continue;
        const auto chip = unsealed.find(seal.chip);
        if (chip == unsealed.end()) {
            found.push_back("chip '" + seal.chip + "' is gone: it was removed or given another name");
            continue;
        }
        if (seal.before && seal_of(*chip->second, *seal.before) != seal.sha256)
            found.push_back("chip '" + seal.chip +
                            "' is not what its seal says: its title, its file, a device or a place was changed");
        unsealed.erase(chip);
    }
    for (const auto& [name, chip] : unsealed)
        found.push_back("chip '" + name + "' has no seal: it was removed, or another program added the chip");
}

void look_at_entries(const std::vector<Seal>& seals, const std::vector<RecordEntry>& entries, Found& found) {
    const std::int64_t last = entries.empty() ? 0 : entries.back().number;
    std::int64_t sealed = 0, farthest = 0;
    for (const Seal& seal : seals) {
        if (seal.entry == 0) continue;
        sealed = seal.entry;
        farthest = std::max(farthest, sealed);
        const auto entry =
            std::lower_bound(entries.begin(), entries.end(), sealed,
                             [](const RecordEntry& e, std::int64_t number) { return e.number < number; });
        if (entry == entries.end() || entry->number != sealed || !seal.before) continue;
        if (seal_of(sealed, entry->sha256, *seal.before) != seal.sha256)
            found.push_back("entry " + std::to_string(sealed) +
                            " is not the one that was sealed: it was changed, or cut off and added anew");
    }
    if (last < farthest)
        found.push_back(entries_from(last + 1, farthest).append(" gone: the record's end was cut off"));
    if (last > sealed)
        found.push_back(entries_from(sealed + 1, last)
                            .append(" not sealed: the seals were removed, or another program added there"));
}

}  // namespace

void add_seals(Database& database, const std::vector<RecordedChip>& chips) {
    for (const RecordedChip& chip : chips) seal_chip(database, chip);
    seal_last_entry(database);
}

std::vector<std::string> broken_seals(Database& database, const std::vector<RecordEntry>& entries) {
    const std::vector<Seal> seals = select_seals(database);
    Found found;
    for (const Seal& seal : seals)
        if (!seal.before) found.push_back("seals before number " + std::to_string(seal.number) + " were removed");
    look_at_chips(seals, select_chips(database), found);
    look_at_entries(seals, entries, found);
    return found;
}

}  // namespace tymbal
