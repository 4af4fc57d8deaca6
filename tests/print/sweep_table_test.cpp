// Sweeps as text and on disk: axes, rows that survive, parts that fit together.
#include "tymbal/print/sweep_table.h"
#include "support/approx.h"
#include "tymbal/print/sweep_file.h"
#include "tymbal/print/write_sweep.h"
#include "tymbal/read/parse_axis.h"
#include "tymbal/text/svg_plot.h"
#include "tymbal/text/whole_file.h"

#include "support/designs.h"

#include "tymbal/base/error.h"

#include <doctest/doctest.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <sstream>

#include <unistd.h>

using namespace tymbal;
using tymbal::sample::Approx;

namespace {

namespace fs = std::filesystem;

double value(const SweepAxis& axis, std::size_t k) {
    return std::get<double>(axis.values[k]);
}

void refused(const std::string& text, const char* hint) {
    CAPTURE(text);
    CHECK_THROWS_WITH_AS((void)parse_axis(text), doctest::Contains(hint), InputError);
}

SweepIdentity identity(int part, int parts) {
    return {"a \"title\", with comma",
            std::string(64, 'a'),
            std::string(64, 'b'),
            {{"solve.modes", 1.0}},
            {{{"film.thickness", {1e-8, 0.1 + 0.2, 1e-7}}, {"film.material", {"one", "two"}}}},
            1,
            part,
            parts};
}

/// Rows that need no solving: they carry an error.
SweepRow failed_row(std::size_t index) {
    return {index, std::nullopt, std::string("no answer, \"quoted\" ").append(std::to_string(index))};
}

struct Scratch {
    fs::path path = fs::temp_directory_path() / ("tymbal-sweep-" + std::to_string(::getpid()));
    Scratch() { fs::create_directories(path); }
    ~Scratch() { fs::remove_all(path); }
    [[nodiscard]] std::string file(const std::string& name) const { return (path / name).string(); }
};

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("axes are even, of constant ratio, or lists, and hit their ends exactly") {
        const SweepAxis even = parse_axis("holes.diameter=1um..6um:11");
        CHECK(even.values.size() == 11);
        CHECK(value(even, 0) == 1e-6);
        CHECK(value(even, 10) == 6e-6);
        CHECK(value(even, 4) == Approx(3e-6));
        const SweepAxis ratio = parse_axis("outline.width=1um..100um:3:log");
        CHECK(value(ratio, 1) == Approx(10e-6));
        CHECK(value(parse_axis("outline.width=9 um..1 um:2"), 0) == 9e-6);
        CHECK(std::get<std::string>(parse_axis("film.material=a,b").values[1]) == "b");
        CHECK(value(parse_axis("holes.fill_factor=0.1,20 %"), 1) == Approx(0.2));
        CHECK(value(parse_axis("solve.accuracy=1e-3,1e-4"), 1) == 1e-4);
    }

    TEST_CASE("an axis that cannot be is refused with its text and the forms that can") {
        refused("holes.diameter", "KEY=FROM..TO:COUNT");
        refused("holes.daimeter=1um..2um:3", "holes.diameter");
        refused("holes.diameter=1um..2um", "number of values");
        refused("holes.diameter=1um..2um:1", "whole number");
        refused("holes.diameter=1um..2um:3:lin", "log");
        refused("holes.diameter=-1um..2um:3:log", "above zero");
        refused("holes.diameter=1..2:3", "unit is needed");
        refused("holes.diameter=1um,1um", "twice");
        refused("holes.diameter=1um,,2um", "empty");
        refused("holes.diameter=1um..1um:3", "begins where it ends");
        refused("holes.diameter=1 +- 0.1 um,2um", "uncertainty");
        refused("solve.modes=1,2", "(modes)");
        refused("title=one\ntwo", "line break");
        CHECK_THROWS_WITH_AS(require_sound({"film.stres", {1e9}}), doctest::Contains("film.stress"), InputError);
        CHECK_THROWS_WITH_AS(require_sound({"film.stress", {1e9, 1e9}}), doctest::Contains("twice"), InputError);
        CHECK_THROWS_WITH_AS(require_sound({"film.stress", {}}), doctest::Contains("no values"), InputError);
        CHECK_NOTHROW(require_sound({"film.stress", {1e9, 2e9}}));
        refused("holes.diameter=nan um,2um", "begin with a number");
    }

    TEST_CASE("the last axis runs fastest, parts deal the rows out evenly") {
        const SweepGrid grid = identity(1, 1).grid;
        CHECK(grid.size() == 6);
        CHECK(std::get<std::string>(grid.at(1)[1].value) == "two");
        CHECK(std::get<double>(grid.at(2)[0].value) == 0.1 + 0.2);
        CHECK(part_of(6, 2, 4) == std::vector<std::size_t>{1, 5});
    }

    TEST_CASE("a table reads back what was written, to the last bit") {
        const SweepIdentity id = identity(1, 1);
        const std::string text = head_text(id) + row_text(id, failed_row(2)) + row_text(id, failed_row(1));
        SweepTable table = parse_sweep(text, "t.csv");
        CHECK(table_text(table) == text);
        CHECK(table.axes() == std::vector<std::string>{"film.thickness", "film.material"});
        CHECK(std::stod(table.cell(0, "film.thickness")) == 0.1 + 0.2);
        CHECK(table.cell(0, "error") == "no answer, \"quoted\" 2");
        table.sort();
        CHECK(table.index(0) == 1);
        CHECK_THROWS_AS((void)parse_sweep("a,b\n1,2\n", "t.csv"), InputError);
        CHECK_THROWS_WITH_AS((void)parse_sweep(text + "3,4\n", "t.csv"), doctest::Contains("t.csv:12"), InputError);
        CHECK_THROWS_WITH_AS((void)parse_sweep(text + row_text(id, failed_row(1)), "t.csv"),
                             doctest::Contains("t.csv:12: holds row 1 once more"), InputError);
    }

    TEST_CASE("axes of density, angle and etch rate had prefixes that nobody writes") {
        SweepIdentity id = identity(1, 1);
        id.grid.axes = {
            {"film.density", {3000.0}}, {"holes.angle", {0.5235987755982988}}, {"release.rate", {1e-7 / 60.0}}};
        std::ostringstream out;
        write_table(out, parse_sweep(head_text(id) + row_text(id, failed_row(1)), "t.csv"), 1);
        CAPTURE(out.str());
        CHECK(out.str().find(" 3000 kg/m^3      30 deg  100 nm/min") != std::string::npos);
    }

    TEST_CASE("a table of a part says which part it is, and its faults have their lines") {
        const SweepIdentity id = identity(2, 3);
        const std::string text = head_text(id) + row_text(id, failed_row(1));
        CHECK(table_text(parse_sweep(text, "t.csv")) == text);
        CHECK_THROWS_WITH_AS((void)parse_sweep(text + row_text(id, failed_row(1)), "t.csv"),
                             doctest::Contains("t.csv:12: holds row 1 once more"), InputError);
        for (const char* wrong : {"4 of 3", "0 of 3", "2 or 3", "2", "two of three"}) {
            CAPTURE(wrong);
            std::string edited = text;
            edited.replace(edited.find("2 of 3"), 6, wrong);
            CHECK_THROWS_WITH_AS((void)parse_sweep(edited, "t.csv"), doctest::Contains("t.csv:9: part: is '"),
                                 InputError);
        }
    }

    TEST_CASE("a picture needs an axis with numbers, which is said before anything is solved") {
        SweepIdentity id = identity(1, 1);
        CHECK_NOTHROW(require_plottable(id.grid));
        id.grid.axes.erase(id.grid.axes.begin());
        const std::string text = head_text(id) + row_text(id, failed_row(0));
        std::ostringstream out;
        CHECK_THROWS_WITH_AS(require_plottable(id.grid), doctest::Contains("plot: needs a varied key with numbers"),
                             InputError);
        CHECK_THROWS_WITH_AS(write_plot(out, parse_sweep(text, "t.csv"), 1),
                             doctest::Contains("plot: needs a varied key with numbers"), InputError);
    }

    TEST_CASE("a file cut anywhere is continued to the same bytes, another sweep's file is refused") {
        const Scratch scratch;
        const SweepIdentity id = identity(1, 1);
        std::string whole = head_text(id);
        for (std::size_t k = 0; k < 6; ++k) whole += row_text(id, failed_row(k));
        for (std::size_t cut = 0; cut <= whole.size(); cut += 7) {
            CAPTURE(cut);
            const std::string path = scratch.file("cut.csv");
            std::ofstream(path, std::ios::trunc) << whole.substr(0, cut);
            SweepFile file(path, head_text(id), true);
            for (std::size_t k = 6; k-- > 0;)
                if (file.done().count(k) == 0) file.append(row_text(id, failed_row(k)));
            CHECK(file.finish() == whole);
            CHECK(read_whole(path) == whole);
        }
        SweepIdentity other = id;
        other.design_sha256 = std::string(64, 'c');
        CHECK_THROWS_WITH_AS(SweepFile(scratch.file("cut.csv"), head_text(other), true), doctest::Contains("design"),
                             InputError);
        CHECK_THROWS_WITH_AS(SweepFile(scratch.file("cut.csv"), head_text(id), false), doctest::Contains("(resume)"),
                             InputError);
        CHECK_THROWS_AS(SweepFile(scratch.file("none/x.csv"), head_text(id), false), InputError);
        CHECK_THROWS_AS(SweepFile("/dev/null", head_text(id), false), InputError);
    }

    TEST_CASE("two sweeps cannot write one file") {
        const Scratch scratch;
        const SweepIdentity id = identity(1, 1);
        const SweepFile first(scratch.file("a.csv"), head_text(id), false);
        CHECK_THROWS_WITH_AS(SweepFile(scratch.file("a.csv"), head_text(id), true), doctest::Contains("another sweep"),
                             InputError);
    }

    TEST_CASE("parts join to the table of the whole, and only when all are there") {
        const Scratch scratch;
        std::vector<std::string> paths;
        for (int part = 1; part <= 3; ++part) {
            const SweepIdentity id = identity(part, 3);
            paths.push_back(scratch.file(std::string("p").append(std::to_string(part))));
            std::ofstream out(paths.back());
            out << head_text(id);
            for (const std::size_t k : part_of(6, part, 3)) out << row_text(id, failed_row(k));
        }
        const SweepIdentity id = identity(1, 1);
        std::string whole = head_text(id);
        for (std::size_t k = 0; k < 6; ++k) whole += row_text(id, failed_row(k));
        CHECK(table_text(join_sweeps({paths[2], paths[0], paths[1]})) == whole);
        CHECK_THROWS_WITH_AS((void)join_sweeps({paths[0], paths[2]}), doctest::Contains("part 2 of 3"), InputError);
        CHECK_THROWS_WITH_AS((void)join_sweeps({paths[0], paths[0]}), doctest::Contains("once more"), InputError);
        const SweepIdentity seventh = identity(7, 7);  // of six rows: a part without any
        paths.push_back(scratch.file("p7"));
        std::ofstream(paths.back()) << head_text(seventh);
        CHECK_THROWS_WITH_AS((void)join_sweeps(paths), doctest::Contains("p7: is part of another sweep than "),
                             InputError);
        CHECK_THROWS_WITH_AS((void)join_sweeps({paths[0], scratch.file("gone")}),
                             doctest::Contains("gone: cannot be read; give the path"), InputError);
        CHECK_THROWS_WITH_AS((void)join_sweeps({paths[0], scratch.path.string()}), doctest::Contains("cannot be read"),
                             InputError);
        std::string edited = whole;
        edited.replace(edited.find("rows: 6"), 7, "rows: six");
        std::ofstream(scratch.file("edited")) << edited;
        CHECK_THROWS_WITH_AS((void)join_sweeps({scratch.file("edited")}),
                             doctest::Contains("edited: rows: is 'six', no number of rows"), InputError);
    }

    TEST_CASE("a part without rows may be named first and once more") {
        const Scratch scratch;
        std::vector<std::string> paths;
        for (int part = 1; part <= 7; ++part) {  // of six rows
            const SweepIdentity id = identity(part, 7);
            paths.push_back(scratch.file(std::string("p").append(std::to_string(part))));
            std::ofstream out(paths.back());
            out << head_text(id);
            for (const std::size_t k : part_of(6, part, 7)) out << row_text(id, failed_row(k));
        }
        paths.insert(paths.begin(), paths.back());
        CHECK(join_sweeps(paths).rows.size() == 6);
    }

    TEST_CASE("a picture is closed XML with its labels escaped, whatever the numbers") {
        std::ostringstream out;
        const double nan = std::nan("");
        write_svg(out, {"a < b & c",
                        "x (um)",
                        true,
                        {{"y (MHz)", {{"one", {1, 2, 4}, {3, nan, 5}}, {"two", {1, 2, 4}, {3, 3, 3}}}, true},
                         {"flat", {{"", {1, 2}, {0, 0}}}, false},
                         {"empty", {}, false}}});
        const std::string text = out.str();
        CHECK(text.find("a &lt; b &amp; c") != std::string::npos);
        CHECK(text.find("nan") == std::string::npos);
        CHECK(text.find("inf") == std::string::npos);
        CHECK(text.substr(text.size() - 7) == "</svg>\n");
    }
}
