// GDSII files against an independent reader and writer, and files that mean harm.
#include "support/approx.h"
#include "tymbal/base/error.h"
#include "tymbal/mask/read_gdsii.h"
#include "tymbal/mask/write_gdsii.h"
#include "tymbal/pattern/hole_sites.h"

#include "support/films.h"
#include "support/outside_gdsii.h"

#include <doctest/doctest.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <sstream>

#include <unistd.h>

using namespace tymbal;

namespace {

std::string scratch(const std::string& name) {
    return (std::filesystem::temp_directory_path() / (std::to_string(::getpid()) + "-" + name)).string();
}

std::string bytes_of(const Drawing& drawing) {
    std::ostringstream out;
    write_gdsii(out, drawing);
    return out.str();
}

std::string slurp(const std::string& file) {
    std::ifstream in(file, std::ios::binary);
    std::ostringstream text;
    text << in.rdbuf();
    return text.str();
}

struct Field {
    HoleFigure hole;
    std::vector<DrawnPoint> sites;
    Drawing drawing;
};

/// Squares are the hard case for the reader's recognition of an offset centre, circles for areas.
Field field(Lattice lattice, double angle, double width) {
    const HolePattern p{lattice, HoleShape::circle, simple::length(width), simple::length(5e-6), angle, {}, {}, {}, {}};
    Field f;
    f.hole = draw_hole({HoleShape::circle, width, 0.0, 50, 199});
    f.sites = snap_sites(place_holes(p, boundary(simple::disc(200e-6))), f.hole, 50).sites;
    f.drawing.cells.push_back({"HOLE", {{Layer::holes, f.hole.corners}}, {}});
    f.drawing.cells.push_back({"ALL_HOLES", {}, gather(f.sites, 0)});
    return f;
}

// Records by hand, for files that no writer makes.
std::string record(unsigned type, const std::string& data = "") {
    std::string r;
    for (const std::size_t v : {data.size() + 4, static_cast<std::size_t>(type)}) {
        r.push_back(static_cast<char>(v >> 8U));
        r.push_back(static_cast<char>(v & 0xFFU));
    }
    return r + data;
}
std::string number16(int v) {
    return {static_cast<char>(v >> 8), static_cast<char>(v & 0xFF)};
}
std::string number32(long v) {
    std::string s;
    for (const int shift : {24, 16, 8, 0}) s.push_back(static_cast<char>((v >> shift) & 0xFF));
    return s;
}
std::string name(std::string s) {
    if (s.size() % 2 == 1) s.push_back('\0');
    return s;
}
const std::string micrometre_and_nanometre("\x3e\x41\x89\x37\x4b\xc6\xa7\xf0\x39\x44\xb8\x2f\xa0\x9b\x5a\x54", 16);
std::string library(const std::string& cells) {
    return record(0x0002, number16(600)) + record(0x0305, micrometre_and_nanometre) + cells + record(0x0400);
}
std::string cell(const std::string& its_name, const std::string& elements) {
    return record(0x0502, std::string(24, '\0')) + record(0x0606, name(its_name)) + elements + record(0x0700);
}
std::string points(const std::vector<DrawnPoint>& all) {
    std::string s;
    for (const DrawnPoint p : all) s += number32(p.x) + number32(p.y);
    return record(0x1003, s);
}
std::string figure(int layer, unsigned kind = 0x0800) {
    return record(kind) + record(0x0D02, number16(layer)) + record(0x0E02, number16(0)) +
           points({{0, 0}, {1000, 0}, {1000, 1000}, {0, 1000}, {0, 0}}) + record(0x1100);
}
std::string reference(const std::string& to) {
    return record(0x0A00) + record(0x1206, name(to)) + points({{0, 0}}) + record(0x1100);
}
std::string array(const std::string& to, int columns, int rows) {
    return record(0x0B00) + record(0x1206, name(to)) + record(0x1302, number16(columns) + number16(rows)) +
           points({{0, 0}, {1'000'000, 0}, {0, 1'000'000}}) + record(0x1100);
}

std::string complaint(const std::string& bytes) {
    try {
        (void)read_gdsii(bytes, "f.gds");
    } catch (const InputError& e) {
        return e.what();
    }
    return "read without complaint";
}

struct Hostile {
    const char* what;
    std::string bytes;
    const char* message;
};

std::string level(int k) {
    return std::string("C").append(std::to_string(k));
}

std::string chain(int from, int to) {  // each level refers to the one below
    std::string cells;
    for (int k = from; k < to; ++k) cells += cell(level(k), k == 0 ? figure(1) : reference(level(k - 1)));
    return cells;
}

std::string powers(int levels) {  // each level a 30 000 x 30 000 array of the one below
    std::string cells = cell(level(0), figure(1));
    for (int k = 1; k < levels; ++k) cells += cell(level(k), array(level(k - 1), 30'000, 30'000));
    return cells;
}

const std::vector<Hostile>& hostile_files() {
    static const std::string sound = library(cell("A", figure(1)));
    static const std::vector<Hostile> all{
        {"empty", "", "byte 0: the file ends before"},
        {"text", "x,y\n1,2\n", "byte 0: a record"},
        {"cut in a record", sound.substr(0, 30), "byte 26: a record claims 28 bytes and the file has 4 left"},
        {"cut inside a record's data", sound.substr(0, sound.size() - 20), "left; the file is cut or damaged"},
        {"no end of library", sound.substr(0, sound.size() - 4), "ends before its end-of-library"},
        {"length beyond the file", record(0x0002, number16(600)) + std::string("\xff\xfe\x03\x05", 4) + "abcd",
         "byte 6: a record claims 65534 bytes and the file has 8 left"},
        {"length zero", record(0x0002, number16(600)) + std::string(8, '\0'), "byte 6: a record of length 0"},
        {"odd length", record(0x0002, number16(600)) + std::string("\x00\x05\x03\x05", 4) + "a",
         "byte 6: a record of length 5"},
        {"no header", record(0x0400), "no GDSII header"},
        {"no units", record(0x0002, number16(600)) + cell("A", figure(1)) + record(0x0400), "no record of its units"},
        {"units of nothing", record(0x0002, number16(600)) + record(0x0305, std::string(16, '\0')) + record(0x0400),
         "database unit"},
        {"units too short", record(0x0002, number16(600)) + record(0x0305, "abcd") + record(0x0400), "8-byte real"},
        {"element without end", library(record(0x0502) + record(0x0606, "AB") + record(0x0800) + record(0x0700)),
         "a cell ends inside an element"},
        {"cell without end", library(record(0x0502) + record(0x0606, "AB")), "a cell is not closed"},
        {"cell without a name", library(record(0x0502) + record(0x0700)), "a cell has no name"},
        {"twice the same name", library(cell("A", figure(1)) + cell("A", figure(1))), "a second cell is named 'A'"},
        {"figure of two corners",
         library(cell(
             "A", record(0x0800) + record(0x0D02, number16(1)) + points({{0, 0}, {1, 1}, {0, 0}}) + record(0x1100))),
         "fewer than three corners"},
        {"coordinates cut", library(cell("A", record(0x0800) + record(0x1003, "123456") + record(0x1100))),
         "pairs of 32-bit coordinates"},
        {"no figure", library(cell("A", "")), "no figure in the file"},
        {"reference to nothing", library(cell("A", figure(1) + reference("B"))), "names cell 'B', which is not"},
        {"reference to itself", library(cell("A", figure(1) + reference("A"))), "in a circle through cell 'A'"},
        {"references in a circle",
         library(cell("A", figure(1) + reference("B")) + cell("B", reference("C")) + cell("C", reference("A"))),
         "in a circle"},
        {"nested too deep", library(chain(0, 100)), "more than 64 deep"},
        {"nested too deep, met from the middle", library(chain(40, 100) + chain(0, 40)), "more than 64 deep"},
        {"array of a thousand million", library(cell("A", figure(1)) + cell("B", array("A", 32'767, 32'767))),
         "more than a million figures"},
        {"arrays of arrays of arrays", library(powers(60)), "more than a million figures"},
        {"array without columns", library(cell("A", figure(1)) + cell("B", array("A", 0, 5))), "from 1 to 32767"},
        {"array of one point",
         library(cell("A", figure(1)) +
                 cell("B", record(0x0B00) + record(0x1206, "AA") + points({{0, 0}}) + record(0x1100))),
         "an array needs three points"},
        {"scale zero",
         library(cell("A", figure(1)) +
                 cell("B", record(0x0A00) + record(0x1206, name("A")) + record(0x1A01, number16(0)) +
                               record(0x1B05, std::string(8, '\0')) + points({{0, 0}}) + record(0x1100))),
         "scale or angle out of any"},
        {"absolute scale",
         library(cell("A", figure(1)) + cell("B", record(0x0A00) + record(0x1206, name("A")) +
                                                      record(0x1A01, number16(4)) + points({{0, 0}}) + record(0x1100))),
         "use relative ones"},
        {"path on the layer", library(cell("A", figure(1) + figure(1, 0x0900))), "a path lies on the layer"},
        {"several layers, none the first", library(cell("A", figure(3) + figure(4))), "none on layer 1"},
        {"two top cells", library(cell("A", figure(1)) + cell("B", figure(1))), "two top cells, 'A' and 'B'"},
    };
    return all;
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("every hostile or damaged file is refused with the byte where it goes wrong") {
        for (const Hostile& h : hostile_files()) {
            CAPTURE(h.what);
            const std::string message = complaint(h.bytes);
            CAPTURE(message);
            CHECK(message.find("f.gds: byte ") == 0);
            CHECK(message.find(h.message) != std::string::npos);
        }
    }

    TEST_CASE("a file cut anywhere, or with any byte turned over, is read or refused but never more") {
        const std::string sound = bytes_of(field(Lattice::square, 0.0, 1.7e-6).drawing);
        int refused = 0;
        for (std::size_t cut = 0; cut < sound.size(); ++cut)
            CHECK(complaint(sound.substr(0, cut)).find("f.gds: byte ") == 0);
        for (std::size_t at = 0; at < sound.size(); ++at) {
            std::string turned = sound;
            turned[at] = static_cast<char>(~turned[at]);
            refused += complaint(turned) == "read without complaint" ? 0 : 1;
        }
        CHECK(refused > static_cast<int>(sound.size() / 4));  // a turned coordinate or date is no fault of the format
    }

    TEST_CASE("an empty array of a thousand million is passed over at once") {
        const std::string file = library(cell("E", "") + cell("A", figure(1) + array("E", 32'767, 32'767)));
        CHECK(read_gdsii(file, "f.gds").copies.size() == 1);
    }

    TEST_CASE("copies do not multiply what is empty or lies on other layers") {
        // Followed one by one these would be 10^11 references and figures.
        std::string crowded = figure(1);
        for (int k = 0; k < 50'000; ++k) crowded += reference("E") + figure(7);
        const std::string file =
            library(cell("E", "") + cell("B", crowded) + cell("A", array("B", 1000, 900) + figure(1)));
        CHECK(read_gdsii(file, "f.gds").copies.size() == 900'001);
    }

    TEST_CASE("same drawing, same bytes, and cells are not flattened") {
        const Field f = field(Lattice::square, 0.0, 1.7e-6);
        const std::string bytes = bytes_of(f.drawing);
        CHECK(bytes == bytes_of(f.drawing));
        CHECK(f.sites.size() > 1000);
        CHECK(bytes.size() < 4000);
    }
}

TEST_SUITE("reference") {
    // gdspy 1.4.2 (Debian package python3-gdspy) knows the format on its own.
    TEST_CASE("an independent reader finds every hole where it was drawn, with its area") {
        const std::string file = scratch("field.gds");
        for (const double angle : {0.0, 0.3})
            for (const Lattice lattice : {Lattice::square, Lattice::triangular, Lattice::honeycomb}) {
                const Field f = field(lattice, angle, lattice == Lattice::square ? 1.72e-6 : 1.7e-6);
                std::ofstream(file, std::ios::binary) << bytes_of(f.drawing);
                const auto found = outside::figures(file);
                REQUIRE(found.size() == f.sites.size());
                std::vector<DrawnPoint> sites = f.sites;
                std::sort(sites.begin(), sites.end(),
                          [](DrawnPoint a, DrawnPoint b) { return std::tie(a.y, a.x) < std::tie(b.y, b.x); });
                const double area = 0.25e12 * std::acos(-1.0) * f.hole.width_m * f.hole.width_m;
                for (std::size_t k = 0; k < sites.size(); ++k) {
                    CHECK(found[k].layer == 1);
                    CHECK(found[k].x == sample::Approx(1e-3 * (sites[k].x + f.hole.centre_x)).epsilon(1e-9).scale(10));
                    CHECK(found[k].y == sample::Approx(1e-3 * (sites[k].y + f.hole.centre_y)).epsilon(1e-9).scale(10));
                    CHECK(found[k].area == sample::Approx(area).epsilon(1e-7));
                    CHECK(found[k].corners == static_cast<int>(f.hole.corners.size()));
                }
            }
        std::filesystem::remove(file);
    }

    TEST_CASE("mirrored, turned and scaled references and arrays of an independent writer are followed as it does") {
        constexpr const char* script = R"(
import sys, gdspy
library = gdspy.GdsLibrary(unit=1e-6, precision=1e-9)
def new_cell(name):
    cell = gdspy.Cell(name, exclude_from_current=True)
    library.add(cell)
    return cell
hole = new_cell("HOLE")
hole.add(gdspy.Round((0.3, 0.2), 0.5, number_of_points=24, layer=1))
hole.add(gdspy.Text("no hole", 2, layer=7))
hole.add(gdspy.Label("a text", (0, 0), layer=1))
row = new_cell("ROW")
row.add(gdspy.CellArray(hole, 5, 3, (4.0, 5.5), origin=(1.0, 2.0), rotation=30, magnification=1.5, x_reflection=True))
row.add(gdspy.CellReference(hole, (-9.0, -7.0), rotation=77))
top = new_cell("TOP")
top.add(gdspy.CellReference(row, (100.0, 50.0), rotation=-20, magnification=0.5))
top.add(gdspy.CellReference(row, (-100.0, 50.0), x_reflection=True, rotation=200))
top.add(gdspy.CellArray(row, 2, 2, (60.0, 70.0), origin=(0.0, 200.0)))
top.add(gdspy.FlexPath([(0, 0), (10, 0)], 1, layer=7, gdsii_path=True))
library.write_gds(sys.argv[1])
)";
        const std::string file = scratch("written.gds");
        outside::run_python(script, "'" + file + "'");
        std::vector<outside::Figure> theirs;
        for (const outside::Figure& f : outside::figures(file))
            if (f.layer == 1) theirs.push_back(f);
        const GdsiiFigures ours = read_gdsii(slurp(file), file);
        REQUIRE(theirs.size() == 6 * 16);
        REQUIRE(ours.copies.size() == theirs.size());
        for (const GdsiiCopy& copy : ours.copies) {
            const auto& corners = ours.shapes[copy.shape].corners;
            Point mean{};
            for (const Point p : corners) {
                const Point q = apply(copy.placed, p);
                mean = {mean.x + q.x / static_cast<double>(corners.size()),
                        mean.y + q.y / static_cast<double>(corners.size())};
            }
            double nearest = 1e300;
            for (const outside::Figure& f : theirs)
                nearest = std::min(nearest, std::hypot(1e6 * mean.x - f.x, 1e6 * mean.y - f.y));
            CHECK(nearest < 2e-3);  // corners are rounded to 1 nm in the file, so mean and centroid differ a little
        }
        std::filesystem::remove(file);
    }
}
