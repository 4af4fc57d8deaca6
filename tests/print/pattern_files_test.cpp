// From design to mask file and back.
#include "tymbal/base/error.h"
#include "tymbal/geometry/lattice.h"
#include "tymbal/print/write_pattern.h"

#include "support/approx.h"
#include "support/designs.h"
#include "support/outside_gdsii.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <sstream>

#include <unistd.h>

using namespace tymbal;
namespace fs = std::filesystem;

namespace {

const std::string process =
    "[process]\nlithography_bias = \"0.10 +- 0.05 um\"\netch_bias = \"0.05 um\"\naddress_grid = \"50 "
    "nm\"\nleast_feature = "
    "\"0.8 um\"\n";
const std::string chip =
    "[chip]\nwidth = \"4 mm\"\nlength = \"3 mm\"\nthickness = \"500 um\"\nposition = [\"0.5 mm\", \"-0.3 mm\"]\n";

std::string holes(const std::string& lattice, const std::string& rest = "diameter = \"2 um\"\n") {
    return "[holes]\nlattice = \"" + lattice + "\"\npitch = \"5 um\"\n" + rest;
}

std::string base() {
    return sample::film("100 nm") + sample::square("120 um");
}

Pattern draw(const std::string& text, const std::vector<Witness>& witnesses = {}) {
    return draw_pattern(sample::design(text), {witnesses, most_corners_of_old_readers, ""});
}

std::string text_of(const Pattern& pattern, PatternFormat format) {
    std::ostringstream out;
    write_pattern(out, pattern, format);
    return out.str();
}

fs::path scratch() {
    const fs::path folder = fs::temp_directory_path() / ("tymbal-pattern-" + std::to_string(::getpid()));
    fs::create_directories(folder);
    return folder;
}

std::vector<outside::Figure> seen_from_outside(const Pattern& pattern) {
    const fs::path file = scratch() / "pattern.gds";
    std::ofstream(file, std::ios::binary) << text_of(pattern, PatternFormat::gdsii);
    auto figures = outside::figures(file.string());
    fs::remove_all(scratch());
    return figures;
}

bool apart(const DrawnBox& a, const DrawnBox& b, int by) {
    return a.low.x >= b.high.x + by || b.low.x >= a.high.x + by || a.low.y >= b.high.y + by || b.low.y >= a.high.y + by;
}

/// The pattern of a design that reads the holes of `first` back from a file.
Pattern again(const Pattern& first, const std::string& ending, const std::string& rest) {
    const fs::path file = scratch() / ("holes" + ending);
    std::ofstream(file, std::ios::binary) << text_of(first, pattern_format(file.string()));
    const std::string text = base() + "[holes]\nlattice = \"file\"\nfile = \"holes" + ending + "\"\n" + rest;
    const Device device = parse_device(text, (scratch() / "design.toml").string(), sample::table());
    CHECK(device.hole_file == file.string());
    Pattern second = draw_pattern(device, {});
    fs::remove_all(scratch());
    return second;
}

/// Number of figures of a cell with every copy counted.
long figure_count(const Drawing& drawing, std::size_t cell) {
    std::vector<long> counts;
    for (std::size_t k = 0; k <= cell; ++k) {
        long count = static_cast<long>(drawing.cells[k].figures.size());
        for (const Placement& p : drawing.cells[k].placements)
            count += counts[p.cell] * static_cast<long>(p.columns) * p.rows;
        counts.push_back(count);
    }
    return counts[cell];
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("a least feature that is broken was only warned of: hole and pitch of the same open share are named") {
        // Released 1 um, drawn 0.7 um by 0.15 um a edge; the writer needs 0.8 um.
        const std::string fine = "[holes]\nlattice = \"triangular\"\npitch = \"2.5 um\"\ndiameter = \"1 um\"\n";
        const Pattern broken = draw(base() + fine + process);
        CHECK_FALSE(broken.printable());
        REQUIRE(broken.proposal.has_value());
        const PatternProposal& p = *broken.proposal;
        CHECK(p.hole_m / p.pitch_m == sample::Approx(0.4));
        CHECK(p.least_width_m >= 0.8e-6 * (1.0 - 1e-6));
        CHECK(p.least_gap_m >= 0.8e-6 * (1.0 - 1e-6));
        CHECK(p.pitch_m < 3.5e-6);  // 1.1 um released would do on a grid without steps
        char hole[64];
        std::snprintf(hole, sizeof hole, "pitch = \"%.9g um\"\ndiameter = \"%.9g um\"\n", 1e6 * p.pitch_m,
                      1e6 * p.hole_m);
        const Pattern mended = draw(base() + "[holes]\nlattice = \"triangular\"\n" + hole + process);
        CHECK(mended.printable());
        CHECK_FALSE(mended.proposal.has_value());
    }
}

TEST_SUITE("reference") {
    // gdspy 1.4.2 (Debian package python3-gdspy) reads the file on its own.
    TEST_CASE(
        "an independent reader finds every wanted hole within half the grid's diagonal, as large as it is to be "
        "drawn") {
        for (const char* lattice : {"square", "triangular", "honeycomb"}) {
            CAPTURE(lattice);
            const Device device = sample::design(base() + holes(lattice) + process + chip);
            const Pattern pattern = draw_pattern(device, {all_witnesses(), most_corners_of_old_readers, ""});
            std::vector<outside::Figure> found = seen_from_outside(pattern);
            found.erase(std::remove_if(found.begin(), found.end(), [](const auto& f) { return f.layer != 1; }),
                        found.end());
            const auto wanted = place_holes(*device.holes, boundary(device.outline));
            REQUIRE(found.size() == wanted.size());
            double furthest = 0.0;
            for (const Hole& h : wanted) {
                double nearest = 1e300;
                for (const outside::Figure& f : found)
                    nearest = std::min(nearest, std::hypot(f.x - 1e6 * h.centre.x, f.y - 1e6 * h.centre.y));
                furthest = std::max(furthest, nearest);
            }
            CHECK(furthest <= 0.05 * std::sqrt(0.5) + 1e-9);
            CHECK(std::abs(furthest - 1e6 * pattern.largest_shift_m) < 1e-9);
            // Drawn: 2 um less twice 0.10 and 0.05 um; the polygon's area is that of the circle to 0.5 %.
            for (const outside::Figure& f : found)
                CHECK(f.area == sample::Approx(0.25 * 3.14159265 * 1.7 * 1.7).epsilon(0.005));
        }
    }

    TEST_CASE("an independent reader finds frame, crosses, label and witnesses on their layers and on the chip") {
        const Pattern pattern = draw(base() + holes("square") + process + chip, all_witnesses());
        double low_x = 1e9, high_x = -1e9, low_y = 1e9, high_y = -1e9;
        std::array<int, 6> count{};
        for (const outside::Figure& f : seen_from_outside(pattern)) {
            ++count[static_cast<std::size_t>(f.layer)];
            low_x = std::min(low_x, f.x), high_x = std::max(high_x, f.x);
            low_y = std::min(low_y, f.y), high_y = std::max(high_y, f.y);
        }
        CHECK(count[1] == pattern.hole_count);
        CHECK(count[2] > 11 * 5 + 11 + 4);
        CHECK(count[3] > 4 + 20);
        CHECK(count[4] == 4);
        // The membrane lies 0.5 mm right of and 0.3 mm below the chip's centre; centroids of frame strips 3 um inside.
        CHECK(low_x == sample::Approx(-2500.0).epsilon(0.002));
        CHECK(high_x == sample::Approx(1500.0).epsilon(0.003));
        CHECK(low_y == sample::Approx(-1200.0).epsilon(0.003));
        CHECK(high_y == sample::Approx(1800.0).epsilon(0.002));
        CHECK(static_cast<long>(count[1] + count[2] + count[3] + count[4]) ==
              figure_count(pattern.drawing, pattern.drawing.cells.size() - 1));
    }
}

namespace {

// Python's own XML parser follows the references of the picture: file in, one line "x y" (um) for each placed hole out.
constexpr const char* follow_uses = R"(
import sys
import xml.etree.ElementTree as tree
svg = "{http://www.w3.org/2000/svg}"
root = tree.parse(sys.argv[1]).getroot()
cells = {g.get("id"): g for g in root.iter(svg + "g") if g.get("id")}
with open(sys.argv[2], "w") as out:
    def follow(cell, x, y):
        if cell.get("id") == "HOLE":
            out.write("%.6f %.6f\n" % (x, y))
        for use in cell.findall(svg + "use"):
            follow(cells[use.get("href")[1:]], x + float(use.get("x")), y + float(use.get("y")))
    follow(cells["CHIP"], 0.0, 0.0)
)";

}  // namespace

TEST_SUITE("reference") {
    TEST_CASE("an independent XML parser finds every hole of the picture where it is drawn") {
        const Pattern p = draw(base() + holes("triangular") + process + chip, {Witness::control});
        const fs::path svg = scratch() / "p.svg", list = scratch() / "list.txt";
        std::ofstream(svg, std::ios::binary) << text_of(p, PatternFormat::svg);
        outside::run_python(follow_uses, std::string("'").append(svg).append("' '").append(list).append("'"));
        std::vector<DrawnPoint> seen, drawn;
        std::ifstream in(list);
        for (double x = 0.0, y = 0.0; in >> x >> y;)
            seen.push_back({static_cast<int>(std::lround(1e3 * x)), static_cast<int>(std::lround(1e3 * y))});
        for (const Placement& placed : p.drawing.cells[p.holes_cell].placements)
            for (const DrawnPoint at : copies(placed)) drawn.push_back(at);
        CHECK(seen == drawn);
        CHECK(static_cast<long>(seen.size()) == p.hole_count);
        fs::remove_all(scratch());
    }
}

TEST_SUITE("invariant") {
    TEST_CASE("holes written to a file and read back are drawn the same") {
        for (const char* lattice : {"square", "triangular"})
            for (const std::string shape : {"circle\"\ndiameter", "square\"\nside", "hexagon\"\nacross_flats"}) {
                CAPTURE(lattice);
                CAPTURE(shape);
                const std::string figure = "shape = \"" + shape + " = \"2 um\"\n";
                const Pattern first = draw(base() + holes(lattice, figure) + process);
                for (const char* ending : {".csv", ".gds"}) {
                    const Pattern named = again(first, ending, figure + process);
                    CHECK(text_of(named, PatternFormat::gdsii) == text_of(first, PatternFormat::gdsii));
                    CHECK(text_of(named, PatternFormat::csv) == text_of(first, PatternFormat::csv));
                }
            }
    }

    TEST_CASE(
        "without a size in the design the file's is what is drawn, and the process makes the released one of it") {
        const Pattern first = draw(base() + holes("square") + process);
        for (const char* ending : {".csv", ".gds"}) {
            const Pattern second = again(first, ending, process);
            CHECK(second.sizes.drawn.width == sample::Approx(first.figure.width_m).epsilon(1e-6));
            CHECK(second.sizes.released.width == sample::Approx(first.figure.width_m + 0.3e-6).epsilon(1e-6));
            CHECK(second.sizes.released.deviation == sample::Approx(0.1e-6));
            CHECK(second.sizes.drawn.deviation == 0.0);  // what the file draws is known
            CHECK(second.sizes.printed.deviation == sample::Approx(0.1e-6));
        }
    }

    TEST_CASE("witnesses, marks and membrane keep their distance, whatever the chip") {
        for (const char* side : {"2 mm", "3 mm", "10 mm"}) {
            CAPTURE(side);
            const std::string own =
                std::string("[chip]\nwidth = \"") + side + "\"\nlength = \"2 mm\"\nthickness = \"500 um\"\n";
            const Pattern p = draw(base() + holes("triangular") + process + own, all_witnesses());
            REQUIRE(p.witnesses.size() == 6);
            std::vector<DrawnBox> boxes{extent(p.drawing, p.holes_cell)};
            for (const PlacedWitness& w : p.witnesses) boxes.push_back(w.box);
            for (std::size_t a = 0; a < boxes.size(); ++a)
                for (std::size_t b = a + 1; b < boxes.size(); ++b) CHECK(apart(boxes[a], boxes[b], 50'000));
            const DrawnBox all = extent(p.drawing, p.drawing.cells.size() - 1);
            CHECK(all.high.y == 1'000'000);
            CHECK(all.low.y == -1'000'000);
        }
    }

    TEST_CASE("every corner of the whole drawing lies on the address grid") {
        const Pattern p = draw(base() + holes("honeycomb") + process + chip, all_witnesses());
        for (const DrawnCell& cell : p.drawing.cells) {
            for (const DrawnFigure& f : cell.figures)
                for (const DrawnPoint c : f.corners) CHECK((c.x % 50 == 0 && c.y % 50 == 0));
            for (const Placement& placed : cell.placements)
                for (const DrawnPoint c : {placed.at, placed.column_step, placed.row_step})
                    CHECK((c.x % 50 == 0 && c.y % 50 == 0));
        }
    }
}

TEST_SUITE("unit") {
    TEST_CASE("drawn holes are the released ones less every bias twice, with the uncertainty of all") {
        const Pattern p = draw(base() + holes("square", "diameter = \"2.00 +- 0.05 um\"\n") + process);
        CHECK(p.sizes.released.width == sample::Approx(2e-6));
        CHECK(p.sizes.etched.width == sample::Approx(2e-6));
        CHECK(p.sizes.printed.width == sample::Approx(1.9e-6));
        CHECK(p.sizes.drawn.width == sample::Approx(1.7e-6));
        CHECK(p.sizes.drawn.deviation == sample::Approx(std::hypot(0.05e-6, 0.1e-6)));
        CHECK(std::abs(p.figure.width_m - 1.7e-6) < 5e-9);
    }

    TEST_CASE("a ruler's strip comes free when the fronts from both sides meet under it") {
        const Pattern p = draw(base() + holes("square") + process + chip, {Witness::undercut_ruler});
        REQUIRE(p.witnesses.size() == 1);
        // Usual undercut 5 um/sqrt 2 - 1 um = 2.54 um; rungs at fifths of it up to twice, less what cannot be printed.
        CHECK(p.witnesses[0].rungs.front() == sample::Approx(0.2 * 2.5355e-6).epsilon(0.06));
        CHECK(p.witnesses[0].rungs.back() == sample::Approx(2.0 * 2.5355e-6).epsilon(0.01));
        // Drawn strip between the first two slots: twice the undercut plus what each edge grows (0.15 um each).
        for (const DrawnCell& cell : p.drawing.cells) {
            if (cell.name != "UNDERCUT_RULER") continue;
            const int strip = cell.figures[1].corners[0].x - cell.figures[0].corners[1].x;
            CHECK(1e-9 * strip == sample::Approx(2.0 * p.witnesses[0].rungs[0] + 0.3e-6));
        }
    }

    TEST_CASE("a writer that cannot print the holes, or the film between them, is told by a broken check") {
        const std::string coarse = "[process]\nleast_feature = \"2.5 um\"\n";
        const Pattern p = draw(base() + holes("square") + coarse);
        REQUIRE(p.checks.size() == 2);
        CHECK_FALSE(p.checks[0].held);  // 2 um wide
        CHECK(p.checks[1].held);        // 3 um apart
        CHECK(std::any_of(p.warnings.begin(), p.warnings.end(),
                          [](const Warning& w) { return w.code == "below-least-feature"; }));
    }

    TEST_CASE("patterns that cannot be drawn have no answer and say why") {
        const auto why = [](const std::string& text, const std::vector<Witness>& witnesses) {
            try {
                (void)draw(text, witnesses);
            } catch (const NoAnswer& e) {
                return std::string(e.what());
            }
            return std::string("drawn");
        };
        CHECK(why(base(), {}).find("neither holes nor openings") != std::string::npos);
        CHECK(why(base() + holes("square"), {Witness::control}).find("chip.width") != std::string::npos);
        CHECK(why(base() + holes("square") + "[process]\netch_bias = \"-2 um\"\n", {}).find("meet") !=
              std::string::npos);
        CHECK(why(base() + holes("square") + "[process]\netch_bias = \"1.2 um\"\n", {}).find("dry etch") !=
              std::string::npos);
        CHECK(why(base() + holes("square") + "[process]\naddress_grid = \"10 um\"\n", {}).find("too coarse") !=
              std::string::npos);
        const std::string small = "[chip]\nwidth = \"0.4 mm\"\nlength = \"0.4 mm\"\nthickness = \"500 um\"\n";
        CHECK(why(base() + holes("square") + small, {Witness::control}).find("no room") != std::string::npos);
        const std::string list = "[holes]\nlattice = \"list\"\ndiameter = \"2 um\"\ncentres = [[\"0 um\", \"0 um\"]]\n";
        CHECK(why(base() + list + chip, {Witness::size_ladder}).find("needs a lattice") != std::string::npos);
        CHECK(why(base() + list + chip, {Witness::undercut_ruler, Witness::hole_ladder, Witness::control}) == "drawn");
    }

    TEST_CASE("a design and a file of holes that contradict each other are refused") {
        const Pattern first = draw(base() + holes("square") + process);
        CHECK_THROWS_AS((void)again(first, ".csv", "diameter = \"4 um\"\n" + process), InputError);
        CHECK_THROWS_AS((void)again(first, ".gds", "shape = \"square\"\nside = \"2 um\"\n" + process), InputError);
        CHECK_THROWS_AS((void)again(first, ".gds", "margin = \"30 um\"\n" + process), InputError);
        CHECK_THROWS_AS((void)again(first, ".csv", "pitch = \"5 um\"\n" + process), InputError);
        // Drawn 1.7 um wide, less 1 um at every edge.
        CHECK_THROWS_WITH_AS((void)again(first, ".csv", "[process]\netch_bias = \"-1 um\"\n"),
                             doctest::Contains("design.toml:14: holes.file: draws holes that the biases"), InputError);
        fs::remove_all(scratch());
    }

    TEST_CASE("the picture is to scale: one unit is a micrometre, the page as large as the chip") {
        const Pattern p = draw(base() + holes("square") + process + chip);
        const std::string svg = text_of(p, PatternFormat::svg);
        CHECK(svg.find("viewBox=\"-2580 -1880 4160 ") != std::string::npos);  // 4 mm wide and 2 % at each side
        CHECK(svg.find("width=\"4.16mm\"") != std::string::npos);
        CHECK(svg.find("<use href=\"#HOLE\" x=\"55\" y=\"-55\"/>") != std::string::npos);
        CHECK(svg.find("1.00 mm</text>") != std::string::npos);
    }
}
