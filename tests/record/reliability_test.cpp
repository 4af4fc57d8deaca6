// The record against the machine: killed writers, full disks, two at once, locked folders, damaged and foreign files.
#include "tymbal/base/error.h"
#include "tymbal/record/record_file.h"

#include "record/journal.h"

#include "logs.h"

#include <sqlite3.h>

#include <chrono>
#include <csignal>
#include <fstream>
#include <functional>
#include <random>
#include <thread>

#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

using namespace tymbal;
using namespace logs;

namespace {

namespace fs = std::filesystem;

/// Three entries that belong together, one with a file of some size.
RecordAddition three(int number) {
    RecordAddition out;
    for (const char* step : {"printed", "etched", "released"})
        out.entries.push_back(entry(step, "S1", "A1", {value("hole_width", 1e-9 * number)}));
    const std::string bytes = std::to_string(number) + std::string(20'000, 'x');
    RecordedFile file{"attached", "scan.csv", sha256_hex(bytes), static_cast<std::int64_t>(bytes.size()), bytes};
    out.entries.front().files.push_back(file);
    return out;
}

std::string started(const std::string& name) {
    const std::string path = fresh(name);
    add_to_record(path, chip("S1"), writer());
    return path;
}

constexpr std::size_t of_chip = 3;

/// In a process of its own; what it writes into the pipe comes back with its end.
struct Child {
    ::pid_t id = 0;
    int pipe = -1;
};

Child start(const std::function<void(int told)>& work) {
    int ends[2];
    REQUIRE(::pipe(ends) == 0);
    const ::pid_t id = ::fork();
    if (id == 0) {
        ::close(ends[0]);
        work(ends[1]);
        ::_exit(0);
    }
    ::close(ends[1]);
    return {id, ends[0]};
}

std::string end_of(const Child& child) {
    std::string all;
    char block[512];
    for (ssize_t n = 0; (n = ::read(child.pipe, block, sizeof block)) > 0;)
        all.append(block, static_cast<std::size_t>(n));
    ::close(child.pipe);
    ::waitpid(child.id, nullptr, 0);
    return all;
}

void say(int pipe, const std::string& text) {
    if (::write(pipe, text.data(), text.size()) < 0) ::_exit(3);
}

void add_until_killed(const std::string& path, int told) {
    for (int k = 0;; ++k) {
        add_to_record(path, three(k), writer());
        say(told, ".");
    }
}

/// The words of what goes wrong, "" when nothing does.
std::string attempt(const std::string& path, const RecordAddition& addition) {
    try {
        add_to_record(path, addition, writer());
    } catch (const InputError& e) {
        return e.what();
    }
    return "";
}

std::string reading(const std::string& path) {
    try {
        (void)read_record(path);
    } catch (const InputError& e) {
        return e.what();
    }
    return "";
}

bool has(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

void by_hand(const std::string& path, const std::string& sql) {
    sqlite3* db = nullptr;
    REQUIRE(sqlite3_open(path.c_str(), &db) == SQLITE_OK);
    REQUIRE(sqlite3_exec(db, sql.c_str(), nullptr, nullptr, nullptr) == SQLITE_OK);
    sqlite3_close(db);
}

void write_bytes(const std::string& path, std::streamoff at, const std::string& bytes) {
    std::fstream file(path, std::ios::in | std::ios::out | std::ios::binary);
    file.seekp(at);
    file << bytes;
}

/// In a child that may not write where only root may.
std::string as_another(const std::function<std::string()>& work) {
    return end_of(start([&](int told) {
        if (::geteuid() == 0 && (::setgid(65534) != 0 || ::setuid(65534) != 0)) ::_exit(4);
        say(told, work());
    }));
}

}  // namespace

TEST_SUITE("invariant") {
    TEST_CASE("killed at fifty moments of writing: all that was told is there, nothing is half") {
        const std::string path = started("killed.db");
        const auto began = std::chrono::steady_clock::now();
        for (int k = 0; k < 3; ++k) add_to_record(fresh("timed.db"), chip("S1"), writer());
        const auto one_takes = (std::chrono::steady_clock::now() - began) / 3;
        std::mt19937 dice(5);
        std::size_t known = of_chip;
        for (int moment = 0; moment < 50; ++moment) {
            const Child child = start([&](int told) { add_until_killed(path, told); });
            std::this_thread::sleep_for(one_takes * (dice() % 5000) / 1000);
            ::kill(child.id, SIGKILL);
            const std::size_t told = known + 3 * end_of(child).size();
            const std::size_t found = read_record(path).entries.size();
            CHECK(found >= told);
            CHECK(found <= told + 3);
            CHECK((found - of_chip) % 3 == 0);
            known = found;
        }
        CHECK(known > of_chip);  // some were killed behind their first addition
        CHECK(damage_of(path).empty());
    }

    TEST_CASE("killed while the record is made: the next one makes it or finds it whole") {
        std::mt19937 dice(6);
        for (int moment = 0; moment < 25; ++moment) {
            const std::string path = fresh("born.db");
            const Child child = start([&](int) { add_to_record(path, chip("S1"), writer()); });
            std::this_thread::sleep_for(std::chrono::microseconds(dice() % 12'000));
            ::kill(child.id, SIGKILL);
            end_of(child);
            const std::string said = attempt(path, chip("S1"));
            CHECK((said.empty() || has(said, "already")));
            CHECK(read_record(path).entries.size() == of_chip);
            CHECK(damage_of(path).empty());
        }
    }

    TEST_CASE("a full disk, at any byte, is told and changes nothing") {
        std::mt19937 dice(7);
        int full = 0;
        for (int k = 0; k < 30; ++k) {
            const std::string path = started("full.db");
            const rlim_t most = 1000 + dice() % 60'000;  // a limit on the size of files stands for the disk
            const std::string said = end_of(start([&](int told) {
                ::signal(SIGXFSZ, SIG_IGN);
                const rlimit limit{most, most};
                ::setrlimit(RLIMIT_FSIZE, &limit);
                say(told, attempt(path, three(1)));
            }));
            const std::size_t expected = said.empty() ? of_chip + 3 : of_chip;
            if (!said.empty()) CHECK(has(said, "disk full"));
            full += said.empty() ? 0 : 1;
            CHECK(read_record(path).entries.size() == expected);
            CHECK(damage_of(path).empty());
            CHECK(attempt(path, three(2)) == "");
        }
        CHECK(full > 10);
        CHECK(full < 30);
    }

    TEST_CASE("two writers at once: both are served, nothing is lost or doubled") {
        const std::string path = started("two.db");
        const auto work = [&](int told) {
            for (int k = 0; k < 30; ++k) say(told, attempt(path, three(k)).empty() ? "." : "!");
        };
        const Child one_of_them = start(work), other = start(work);
        CHECK(end_of(one_of_them) == std::string(30, '.'));
        CHECK(end_of(other) == std::string(30, '.'));
        CHECK(read_record(path).entries.size() == of_chip + 180);
        CHECK(damage_of(path).empty());
    }

    TEST_CASE("two that start the same record at once: one starts it, the other adds to it") {
        for (int k = 0; k < 10; ++k) {
            const std::string path = fresh("start.db");
            const auto work = [&](const char* name) {
                return [&path, name](int told) { say(told, attempt(path, chip(name))); };
            };
            const Child a = start(work("S1")), b = start(work("S2"));
            CHECK(end_of(a) == "");
            CHECK(end_of(b) == "");
            CHECK(read_record(path).chips.size() == 2);
            CHECK(damage_of(path).empty());
        }
    }

    TEST_CASE("one who keeps writing is waited for, and told after a while") {
        const std::string path = started("busy.db");
        sqlite3* other = nullptr;
        REQUIRE(sqlite3_open(path.c_str(), &other) == SQLITE_OK);
        REQUIRE(sqlite3_exec(other, "BEGIN IMMEDIATE", nullptr, nullptr, nullptr) == SQLITE_OK);
        RecordWriter hurried = writer();
        hurried.patience_ms = 50;
        CHECK_THROWS_WITH_AS(add_to_record(path, three(1), hurried), doctest::Contains("another program"), InputError);
        CHECK(read_record(path).entries.size() == of_chip);  // readers do not wait
        sqlite3_close(other);
        CHECK(attempt(path, three(1)) == "");
    }

    TEST_CASE("a folder that may not be written: reading works, adding is refused, nothing is created") {
        const fs::path folder = program_run::scratch() / "locked";
        fs::create_directories(folder);
        const std::string path = (folder / "record.db").string();
        for (const char* ending : {"", "-wal", "-shm"}) fs::remove(path + ending);
        add_to_record(path, chip("S1"), writer());
        fs::permissions(path, fs::perms(0444));
        fs::permissions(folder, fs::perms(0555));
        CHECK(as_another([&] { return std::to_string(read_record(path).entries.size()); }) == "3");
        const std::string said = as_another([&] { return attempt(path, three(1)); });
        CHECK(has(said, "nothing was added"));
        CHECK(has(said, "written"));
        const std::string absent = (folder / "other.db").string();
        CHECK(has(as_another([&] { return attempt(absent, chip("S1")); }), "cannot be opened"));
        CHECK(std::distance(fs::directory_iterator(folder), fs::directory_iterator{}) == 1);
        fs::permissions(folder, fs::perms(0755));
        fs::permissions(path, fs::perms(0644));
        CHECK(read_record(path).entries.size() == of_chip);
    }

    TEST_CASE("who may read the file but not write it leaves nothing beside it") {
        const fs::path folder = program_run::scratch() / "shared";
        fs::create_directories(folder);
        fs::permissions(folder, fs::perms(0777));
        const std::string path = (folder / "record.db").string();
        for (const char* ending : {"", "-wal", "-shm"}) fs::remove(path + ending);
        add_to_record(path, chip("S1"), writer());
        fs::permissions(path, fs::perms(0444));
        CHECK(as_another([&] { return std::to_string(read_record(path).entries.size()); }) == "3");
        CHECK(std::distance(fs::directory_iterator(folder), fs::directory_iterator{}) == 1);
        fs::permissions(path, fs::perms(0644));
        CHECK(attempt(path, three(1)) == "");
    }

    TEST_CASE("tables of a newer version are left alone") {
        const std::string path = started("newer.db");
        by_hand(path, "PRAGMA user_version = 7");
        const std::string bytes = program_run::slurp(path);
        CHECK(has(reading(path), "newer program: its tables have version 7"));
        CHECK(has(attempt(path, three(1)), "newer program"));
        CHECK(program_run::slurp(path) == bytes);
    }

    TEST_CASE("a damaged file is told, and not written to") {
        const std::string path = started("damaged.db");
        for (int k = 0; k < 5; ++k) add_to_record(path, three(k), writer());
        const std::string whole = program_run::slurp(path);
        int told = 0;
        for (std::size_t page = 1; page < whole.size() / 4096; ++page) {
            CAPTURE(page);
            std::ofstream(path, std::ios::binary) << whole;
            write_bytes(path, static_cast<std::streamoff>(4096 * page), std::string(4096, '\xA5'));
            const std::string before = program_run::slurp(path), said = attempt(path, three(9));
            if (said.empty()) continue;  // a page of a kept file's bytes: the database cannot tell, the hash does
            CHECK(has(said, "damaged"));
            CHECK(program_run::slurp(path) == before);
            ++told;
        }
        CHECK(told > 8);
        std::ofstream(path, std::ios::binary) << whole.substr(0, whole.size() / 2);
        CHECK(has(attempt(path, three(9)), "damaged"));
    }

    TEST_CASE("bytes of a kept file that went bad are found by their hash") {
        const std::string path = started("rotten.db");
        by_hand(path, "DROP TRIGGER content_stays; UPDATE content SET bytes = 'y'");
        CHECK_FALSE(damage_of(path).empty());
    }

    TEST_CASE("what is no record is told and stays as it is") {
        const std::string text = (program_run::scratch() / "notes.txt").string();
        std::ofstream(text) << std::string(2000, 'n');
        CHECK(has(reading(text), "not an SQLite database"));
        CHECK(has(attempt(text, chip("S1")), "not an SQLite database"));
        CHECK(program_run::slurp(text) == std::string(2000, 'n'));

        const std::string other = fresh("other.db");
        by_hand(other, "CREATE TABLE tide (height REAL)");
        const std::string bytes = program_run::slurp(other);
        CHECK(has(reading(other), "no record of chips"));
        CHECK(has(attempt(other, chip("S1")), "no record of chips"));
        CHECK(program_run::slurp(other) == bytes);

        CHECK(has(reading(program_run::scratch().string()), "is a folder"));
        CHECK(has(reading(fresh("absent.db")), "is not there"));
        CHECK_FALSE(fs::exists(program_run::scratch() / "absent.db"));
        CHECK(has(attempt(fresh("absent.db"), three(1)), "is not there"));
        CHECK_FALSE(fs::exists(program_run::scratch() / "absent.db"));

        const std::string empty = fresh("empty.db");
        std::ofstream(empty) << "";
        CHECK(has(reading(empty), "holds no record yet"));
        CHECK(attempt(empty, chip("S1")) == "");
    }

    TEST_CASE("disks of other machines get a rollback journal, own ones a write-ahead log") {
        for (const unsigned long network : {0x6969UL, 0x517BUL, 0xFF534D42UL, 0xFE534D42UL, 0x65735546UL, 0x01021997UL})
            CHECK(is_network_disk(network));
        for (const unsigned long own : {0xEF53UL, 0x58465342UL, 0x9123683EUL, 0x01021994UL})  // ext4, xfs, btrfs, tmpfs
            CHECK_FALSE(is_network_disk(own));
        const std::string path = started("journal.db");
        sqlite3* db = nullptr;
        REQUIRE(sqlite3_open(path.c_str(), &db) == SQLITE_OK);
        sqlite3_stmt* asked = nullptr;
        REQUIRE(sqlite3_prepare_v2(db, "PRAGMA journal_mode", -1, &asked, nullptr) == SQLITE_OK);
        REQUIRE(sqlite3_step(asked) == SQLITE_ROW);
        CHECK(std::string(reinterpret_cast<const char*>(sqlite3_column_text(asked, 0))) == "wal");
        sqlite3_finalize(asked);
        sqlite3_close(db);
    }
}
