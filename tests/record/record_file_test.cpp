#include "tymbal/record/record_file.h"

#include "tymbal/base/error.h"
#include "tymbal/record/gaps.h"

#include "logs.h"

#include <sqlite3.h>

#include <algorithm>
#include <array>
#include <cmath>

using namespace tymbal;
using namespace logs;

namespace {

/// Another hand on the file than the library's.
int by_hand(const std::string& path, const std::string& sql) {
    sqlite3* db = nullptr;
    REQUIRE(sqlite3_open(path.c_str(), &db) == SQLITE_OK);
    const int code = sqlite3_exec(db, sql.c_str(), nullptr, nullptr, nullptr);
    sqlite3_close(db);
    return code;
}

std::string refusal(const std::string& path, const RecordAddition& addition) {
    try {
        add_to_record(path, addition, writer());
    } catch (const InputError& e) {
        return e.what();
    }
    return "";
}

bool has(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

/// All that is left of the entries from a number on, taken away.
std::string cut_from(int number) {
    std::string sql;
    for (const char* table : {"value", "attached", "entry"})
        sql.append("DROP TRIGGER ")
            .append(table)
            .append("_kept; DELETE FROM ")
            .append(table)
            .append(" WHERE ")
            .append(table == std::string("entry") ? "number" : "entry")
            .append(" >= ")
            .append(std::to_string(number))
            .append("; ");
    return sql;
}

std::string filled(const std::string& name) {
    const std::string path = fresh(name);
    add_to_record(path, chip("Skerry 12"), writer());
    RecordEntry e = entry("printed", "Skerry 12", "A1", {value("hole_width", 2.2e-6, 2e-8), word("dose", "high")});
    e.note = "lines; \"quotes\", commas\nand a second line";
    e.by = "the keeper";
    add_to_record(path, one(e), writer());
    return path;
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("what is added is read back to the last bit, in order") {
        const std::string path = filled("round.db");
        const RecordContents all = read_record(path);
        REQUIRE(all.chips.size() == 1);
        CHECK(all.chips.front().devices.size() == 2);
        CHECK(all.version == record_migrations().back().version);
        REQUIRE(all.entries.size() == 4);
        const RecordEntry& last = all.entries.back();
        CHECK(last.number == 4);
        CHECK(last.note == "lines; \"quotes\", commas\nand a second line");
        CHECK(find_value(last, "hole_width")->value == 2.2e-6);
        CHECK(find_value(last, "hole_width")->deviation == 2e-8);
        CHECK_FALSE(find_value(last, "dose")->value);
        CHECK(read_record(path, "nobody").entries.empty());
        CHECK(read_record(path, "Skerry 12").entries.size() == 4);
        CHECK(damage_of(path).empty());
    }

    TEST_CASE("a refused addition leaves nothing of itself, and names what there is") {
        const std::string path = filled("refused.db");
        CHECK(has(refusal(path, chip("Skerry 12")), "has one named 'Skerry 12' already"));
        CHECK(has(refusal(path, one(entry("note", "Skery 12", ""))), "did you mean 'Skerry 12'"));
        CHECK(has(refusal(path, one(entry("note", "Skerry 12", "A9"))), "it has A1, A2"));
        RecordEntry wrong = entry("correction", "Skerry 12", "");
        wrong.corrects = 99;
        CHECK(has(refusal(path, one(wrong)), "there is no entry 99"));
        RecordAddition both = chip("Skerry 13");
        both.entries.push_back(entry("note", "Skerry 14", ""));
        CHECK(has(refusal(path, both), "Skerry 14"));
        add_to_record(path, chip("Skerry 13"), writer());
        wrong = entry("correction", "Skerry 13", "");
        wrong.corrects = 4;
        CHECK(has(refusal(path, one(wrong)), "of chip 'Skerry 12'"));
        CHECK(read_record(path).entries.size() == 7);
    }

    TEST_CASE("the file itself refuses changes, by whichever program") {
        const std::string path = filled("constant.db");
        for (const char* sql : {"UPDATE value SET value = 3e-6", "DELETE FROM value",
                                "UPDATE entry SET note = 'better'", "DELETE FROM entry WHERE number = 4",
                                "UPDATE chip SET name = 'x'", "DELETE FROM device", "UPDATE content SET bytes = 'x'",
                                "DELETE FROM attached", "UPDATE seal SET chip = 'x'", "DELETE FROM seal"}) {
            CAPTURE(sql);
            CHECK(by_hand(path, sql) == SQLITE_CONSTRAINT);
        }
        CHECK(damage_of(path).empty());
    }

    TEST_CASE("an entry that is changed all the same is found by its hash, a removed one by its number") {
        const std::string path = filled("changed.db");
        REQUIRE(by_hand(path, "DROP TRIGGER value_stays; UPDATE value SET value = 3e-6 WHERE key = 'hole_width'") ==
                SQLITE_OK);
        REQUIRE(damage_of(path).size() == 1);
        CHECK(has(damage_of(path).front(), "entry 4"));
        REQUIRE(by_hand(path, "DROP TRIGGER entry_kept; DELETE FROM entry WHERE number = 2") == SQLITE_OK);
        const auto gaps = record_gaps(read_record(path));
        CHECK(std::any_of(gaps.begin(), gaps.end(), [](const RecordFinding& f) { return f.fault; }));
    }

    TEST_CASE("check names steps left out and devices never measured") {
        const std::string path = filled("gaps.db");
        add_to_record(path, one(entry("released", "Skerry 12", "")), writer());
        add_to_record(path, one(entry("measured", "Skerry 12", "A1", {}, "2026-03-01")), writer());
        std::string all;
        for (const RecordFinding& f : record_gaps(read_record(path))) {
            CHECK_FALSE(f.fault);
            all.append(f.text).append("\n");
        }
        CHECK(has(all, "nothing says how it was etched"));
        CHECK(has(all, "not measured: A2"));
        CHECK(has(all, "before it was drawn: 6"));
    }

    TEST_CASE("files are kept whole once, whoever names them") {
        const std::string path = fresh("kept.db");
        for (const char* name : {"S1", "S2"}) add_to_record(path, chip(name), writer());
        CHECK(kept_files(path).size() == 1);
        CHECK(damage_of(path).empty());
    }

    TEST_CASE("a kept file that is not what its hash says is handed to nobody") {
        const std::string path = filled("renamed.db");
        REQUIRE(by_hand(path, "DROP TRIGGER content_stays; UPDATE content SET sha256 = '../../escaped'") == SQLITE_OK);
        CHECK_THROWS_WITH_AS((void)kept_files(path), doctest::Contains("it was changed"), InputError);
    }

    TEST_CASE("a kept file that is gone, and a chip that names another file, are found") {
        const std::string path = filled("gone.db");
        REQUIRE(by_hand(path, "DROP TRIGGER content_kept; DELETE FROM content") == SQLITE_OK);
        REQUIRE(damage_of(path).size() == 1);
        CHECK(has(damage_of(path).front(), "no longer kept"));
        for (const char* sql : {"UPDATE chip SET sha256 = '00'", "UPDATE chip SET file = 'other.toml'"}) {
            const std::string other = filled("other-file.db");
            REQUIRE(by_hand(other, std::string("DROP TRIGGER chip_stays; ").append(sql)) == SQLITE_OK);
            REQUIRE(damage_of(other).size() == 2);  // its seal tells it, too
            CHECK(has(damage_of(other).front(), "names another file"));
        }
    }

    TEST_CASE("a chip's title, its devices and their places cannot be changed unseen") {
        for (const char* change :
             {"DROP TRIGGER chip_stays; UPDATE chip SET title = 'Skerry 13' WHERE name = 'Skerry 12'",
              "DROP TRIGGER device_stays; UPDATE device SET x_m = 3e-3 WHERE chip = 'Skerry 12' AND name = 'A2'",
              "DROP TRIGGER device_stays; UPDATE device SET design = 'pad.toml' WHERE chip = 'Skerry 12'",
              "INSERT INTO device (chip, name, x_m, y_m, design) VALUES ('Skerry 12', 'A3', 0, 0, 'drum.toml')"}) {
            CAPTURE(change);
            const std::string path = filled("moved.db");
            add_to_record(path, chip("Skerry 13"), writer());
            REQUIRE(damage_of(path).empty());
            REQUIRE(by_hand(path, change) == SQLITE_OK);
            REQUIRE(damage_of(path).size() == 1);
            CHECK(has(damage_of(path).front(), "chip 'Skerry 12' is not what its seal says"));
        }
    }

    TEST_CASE("entries cut off at the end are missed, also when others took their numbers") {
        const std::string path = filled("cut.db");
        for (int k = 0; k < 3; ++k) add_to_record(path, one(entry("note", "Skerry 12", "")), writer());
        REQUIRE(damage_of(path).empty());
        REQUIRE(by_hand(path, cut_from(6)) == SQLITE_OK);
        REQUIRE(damage_of(path).size() == 1);
        CHECK(has(damage_of(path).front(), "entries 6 to 7 are gone"));
        for (int k = 0; k < 2; ++k) add_to_record(path, one(entry("etched", "Skerry 12", "")), writer());
        REQUIRE(damage_of(path).size() == 2);
        CHECK(has(damage_of(path).front(), "entry 6 is not the one that was sealed"));
    }

    TEST_CASE("seals that were taken away, or never made, are missed") {
        const std::string first = filled("unsealed.db"), last = filled("unsealed-end.db"), added = filled("added.db");
        REQUIRE(by_hand(first, "DROP TRIGGER seal_kept; DELETE FROM seal WHERE number = 1") == SQLITE_OK);
        REQUIRE(damage_of(first).size() == 2);
        CHECK(has(damage_of(first).front(), "seals before number 2 were removed"));
        CHECK(has(damage_of(first).back(), "chip 'Skerry 12' has no seal"));
        REQUIRE(by_hand(last, "DROP TRIGGER seal_kept; DELETE FROM seal WHERE number = 3") == SQLITE_OK);
        REQUIRE(damage_of(last).size() == 1);
        CHECK(has(damage_of(last).front(), "entry 4 is not sealed"));
        REQUIRE(by_hand(added, "INSERT INTO chip (name, title, file, sha256) VALUES ('S9', '', '', '')") == SQLITE_OK);
        REQUIRE(damage_of(added).size() == 1);
        CHECK(has(damage_of(added).front(), "chip 'S9' has no seal"));
    }

    TEST_CASE("a zero with a minus is no change: the database keeps one zero") {
        const std::string path = fresh("zero.db");
        RecordAddition addition = chip("S1");
        addition.chips.front().devices.front().x_m = -0.0;
        addition.entries.push_back(entry("etched", "S1", "A1", {value("process.etch_bias", -0.0)}));
        add_to_record(path, addition, writer());
        CHECK(damage_of(path).empty());
    }

    TEST_CASE("numbers that are none are refused when they are read, and told by a check") {
        for (const char* change : {"value = 9e999", "value = 'abc'", "deviation = -1.0"}) {
            CAPTURE(change);
            const std::string path = filled("numbers.db");
            REQUIRE(by_hand(path, std::string("DROP TRIGGER value_stays; UPDATE value SET ")
                                      .append(change)
                                      .append(" WHERE key = 'hole_width'")) == SQLITE_OK);
            CHECK_THROWS_WITH_AS((void)read_record(path), doctest::Contains("entry 4: hole_width"), InputError);
            REQUIRE(damage_of(path).size() == 1);
            CHECK(has(damage_of(path).front(), "hole_width"));
        }
        const std::string path = filled("infinite.db");
        CHECK(has(refusal(path, one(entry("printed", "Skerry 12", "A1", {value("hole_width", HUGE_VAL)}))),
                  "hole_width: is no finite number"));
    }

    TEST_CASE("a correction is of the same device, and takes away only what is there") {
        const std::string path = filled("corrections.db");
        RecordEntry wrong = entry("correction", "Skerry 12", "A2", {value("hole_width", 2e-6)});
        wrong.corrects = 4;
        CHECK(has(refusal(path, one(wrong)), "entry 4 is of device 'A1', not of 'A2'"));
        wrong = entry("correction", "Skerry 12", "A1", {word("undercut", "none")});
        wrong.corrects = 4;
        CHECK(has(refusal(path, one(wrong)), "holds no undercut"));
        RecordEntry right = entry("correction", "Skerry 12", "A1", {word("holes.diameter", "none")});
        right.corrects = 4;
        CHECK(refusal(path, one(right)) == "");
        CHECK(has(refusal(path, one(right)), "holds no holes.diameter"));
    }

    TEST_CASE("files below the record's folder are named from there, others by their whole path") {
        const std::string path = fresh("places.db");
        RecordAddition addition = chip("S1");
        addition.chips.front().file = addition.entries.front().files.front().path =
            (program_run::scratch() / "drawings" / ".." / "skerry.toml").string();
        add_to_record(path, addition, writer());
        RecordEntry e = entry("note", "S1", "");
        e.files.push_back({"attached", "/elsewhere/scan.png", std::string(64, '0'), 1, {}});
        add_to_record(path, one(e), writer());
        const RecordContents all = read_record(path);
        CHECK(all.chips.front().file == "skerry.toml");
        CHECK(all.entries.front().files.front().path == "skerry.toml");
        CHECK(all.entries.back().files.front().path == "/elsewhere/scan.png");
    }

    TEST_CASE("versions that no program has written are not called newer") {
        for (const char* version : {"0", "-3"}) {
            const std::string path = filled("unversioned.db");
            REQUIRE(by_hand(path, std::string("PRAGMA user_version = ").append(version)) == SQLITE_OK);
            CHECK_THROWS_WITH_AS((void)read_record(path), doctest::Contains("which no program has written"),
                                 InputError);
        }
    }

    TEST_CASE("check tells entries dated after they were recorded") {
        const std::string path = filled("ahead.db");
        add_to_record(path, one(entry("note", "Skerry 12", "A1", {}, "2030-01-01")), writer());
        const auto gaps = record_gaps(read_record(path));
        CHECK(std::any_of(gaps.begin(), gaps.end(),
                          [](const RecordFinding& f) { return has(f.text, "after they were recorded: 5"); }));
    }
}

TEST_SUITE("unit") {
    const std::array<Migration, 3> later{{record_migrations()[0],
                                          record_migrations()[1],
                                          {3,
                                           "ALTER TABLE entry ADD COLUMN weather TEXT;"
                                           "UPDATE history SET program = program || ', moved' WHERE version = 1;"}}};

    RecordWriter later_writer() {
        RecordWriter w = writer();
        w.migrations = later;
        return w;
    }

    /// A record as a program of that version left it.
    std::string of_version(const std::string& number) {
        const std::string name = "version-" + number, path = fresh(name + ".db");
        const std::string sql = places::source_dir() + "/tests/record/" + name + ".sql";
        REQUIRE(by_hand(path, program_run::slurp(sql)) == SQLITE_OK);
        return path;
    }

    TEST_CASE("each version, from a file that never changes, is read, checked and added to") {
        for (const char* number : {"1", "2"}) {
            CAPTURE(number);
            const std::string path = of_version(number);
            const RecordContents all = read_record(path);
            REQUIRE(all.chips.size() == 1);
            CHECK(std::to_string(all.version) == number);
            CHECK(all.chips.front().name == "Skerry chip 12");
            CHECK(all.entries.size() == 4);
            CHECK(damage_of(path).empty());
            add_to_record(path, one(entry("note", "Skerry chip 12", "")), writer());
            CHECK(read_record(path).entries.size() == 5);
            CHECK(damage_of(path).empty());
        }
    }

    TEST_CASE("a record of the first version is sealed when it is brought up to date") {
        const std::string path = of_version("1");
        add_to_record(path, one(entry("note", "Skerry chip 12", "")), writer());
        REQUIRE(by_hand(path, "DROP TRIGGER chip_stays; UPDATE chip SET title = 'other'") == SQLITE_OK);
        REQUIRE(by_hand(path, cut_from(4)) == SQLITE_OK);
        REQUIRE(damage_of(path).size() == 2);
        CHECK(has(damage_of(path).front(), "'Skerry chip 12' is not what its seal says"));
        CHECK(has(damage_of(path).back(), "entries 4 to 5 are gone"));
    }

    TEST_CASE("a later program reads an older file without touching it, and brings it up to date when it adds") {
        const std::string path = of_version("1");
        const std::string bytes = program_run::slurp(path);
        CHECK(read_record(path, "", later).entries.size() == 4);
        CHECK(program_run::slurp(path) == bytes);
        add_to_record(path, one(entry("note", "Skerry chip 12", "")), later_writer());
        CHECK(read_record(path, "", later).version == 3);
        CHECK(read_record(path, "", later).entries.size() == 5);
        CHECK_THROWS_WITH_AS((void)read_record(path), doctest::Contains("newer program"), InputError);
        CHECK_THROWS_WITH_AS(add_to_record(path, one(entry("note", "Skerry chip 12", "")), writer()),
                             doctest::Contains("newer program"), InputError);
    }

    TEST_CASE("a migration that fails leaves the older file as it was") {
        const std::string path = of_version("1");
        const std::array<Migration, 3> broken{
            {record_migrations()[0], record_migrations()[1], {3, "CREATE TABLE mood (x); CREATE TABLE mood (x);"}}};
        RecordWriter w = writer();
        w.migrations = broken;
        CHECK_THROWS_AS(add_to_record(path, one(entry("note", "Skerry chip 12", "")), w), InputError);
        CHECK(read_record(path).entries.size() == 4);
        CHECK(by_hand(path, "SELECT * FROM mood") != SQLITE_OK);
    }
}
