#include "tymbal/mask/hole_file.h"
#include "support/approx.h"
#include "support/places.h"

#include "tymbal/base/error.h"
#include "tymbal/mask/write_gdsii.h"
#include "tymbal/pattern/hole_figure.h"

#include <doctest/doctest.h>

#include <cmath>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include <unistd.h>

using namespace tymbal;

namespace {

std::string csv_complaint(const std::string& text) {
    try {
        (void)parse_hole_csv(text, "h.csv", HoleShape::circle);
    } catch (const InputError& e) {
        return e.what();
    }
    return "read without complaint";
}

std::string gdsii(const std::vector<std::vector<DrawnPoint>>& figures) {
    Drawing drawing{{{"A", {}, {}}}};
    for (const auto& corners : figures) drawing.cells[0].figures.push_back({Layer::holes, corners});
    std::ostringstream out;
    write_gdsii(out, drawing);
    return out.str();
}

std::string gdsii_complaint(const std::vector<std::vector<DrawnPoint>>& figures, HoleShape shape, double angle = 0.0) {
    try {
        (void)parse_hole_gdsii(gdsii(figures), "h.gds", shape, angle);
    } catch (const InputError& e) {
        return e.what();
    }
    return "read without complaint";
}

std::vector<DrawnPoint> figure(HoleShape shape, double width_um, int dx, double angle = 0.0, int grid = 50) {
    std::vector<DrawnPoint> corners = draw_hole({shape, width_um * 1e-6, angle, grid, 199}).corners;
    for (DrawnPoint& p : corners) p.x += dx;
    return corners;
}

struct Broken {
    const char* what;
    std::string text;
    const char* message;
};

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("a table of holes may have its columns in any order and unit, with or without a size") {
        const HoleFile with = parse_hole_csv(
            "y (um), drawn diameter (nm), x (mm)\r\n2, 1700, 0.003\r\n\r\n-2,1700,0\r\n", "h.csv", HoleShape::circle);
        REQUIRE(with.centres.size() == 2);
        CHECK(with.centres[0].x == sample::Approx(3e-6));
        CHECK(with.centres[0].y == sample::Approx(2e-6));
        CHECK(*with.drawn_width_m == sample::Approx(1.7e-6));
        CHECK_FALSE(parse_hole_csv("x (um),y (um)\n1,2\n", "h.csv", HoleShape::circle).drawn_width_m);
    }

    TEST_CASE("every broken table of holes is refused with its line and what is accepted") {
        const std::vector<Broken> all{
            {"empty", "", "h.csv: lists no hole"},
            {"heading alone", "x (um),y (um)\n", "h.csv: lists no hole"},
            {"no unit", "x,y\n1,2\n", "h.csv:1: x: is no column heading with a unit; accepted: x (um)"},
            {"unit of another kind", "x (GPa),y (um)\n1,2\n", "h.csv:1: x: "},
            {"misspelt", "x (um),y (um),drawn diametre (um)\n1,2,3\n", "did you mean 'drawn diameter'"},
            {"size of another shape", "x (um),y (um),drawn side (um)\n1,2,3\n", "h.csv:1: drawn side: is not a column"},
            {"x twice", "x (um),x (um)\n1,2\n", "h.csv:1: needs one column x"},
            {"row too short", "x (um),y (um)\n1\n", "h.csv:2: has 1 values; the heading names 2"},
            {"no number", "x (um),y (um)\n1,two\n", "h.csv:2: 'two' is no number"},
            {"number with a tail", "x (um),y (um)\n1,2um\n", "h.csv:2: '2um' is no number"},
            {"not finite", "x (um),y (um)\n1,inf\n", "h.csv:2: 'inf' is no number"},
            {"empty value", "x (um),y (um)\n1,\n", "h.csv:2: '' is no number"},
            {"far away", "x (m),y (um)\n1,2\n", "h.csv:2: has a value of more than 10 cm"},
            {"size zero", "x (um),y (um),drawn diameter (um)\n1,2,0\n", "h.csv:2: has a size that is not above"},
            {"two sizes", "x (um),y (um),drawn diameter (um)\n1,2,3\n5,2,4\n", "h.csv:3: has a hole of another size"},
            {"binary", std::string("\0\1\2(((", 6), "h.csv:1: "},
        };
        for (const Broken& b : all) {
            CAPTURE(b.what);
            const std::string message = csv_complaint(b.text);
            CAPTURE(message);
            CHECK(message.find(b.message) != std::string::npos);
        }
    }

    TEST_CASE("drawn circles are recognised with centre and size, on coarse grids too") {
        for (double width = 0.4; width < 4.0; width += 0.07)
            for (const int grid : {1, 50, 100}) {
                CAPTURE(width);
                const HoleFigure drawn = draw_hole({HoleShape::circle, width * 1e-6, 0.0, grid, 199});
                const HoleFile file = parse_hole_gdsii(gdsii({drawn.corners}), "h.gds", HoleShape::circle, 0.0);
                CHECK(*file.drawn_width_m == sample::Approx(drawn.width_m).epsilon(1e-9));
                CHECK(file.centres[0].x == sample::Approx(drawn.centre_x * 1e-9).epsilon(1e-6).scale(1e-6));
            }
    }

    TEST_CASE("squares and hexagons are recognised at the pattern's angle") {
        for (const HoleShape shape : {HoleShape::square, HoleShape::hexagon}) {
            const auto turned = figure(shape, 2.0, 4000, 0.3, 10);
            const HoleFile file = parse_hole_gdsii(gdsii({turned}), "h.gds", shape, 0.3);
            CHECK(*file.drawn_width_m == sample::Approx(2e-6).epsilon(0.005));
            CHECK(file.centres[0].x == sample::Approx(4e-6).epsilon(0.003));
            CHECK(gdsii_complaint({turned}, shape, 0.0).find("turned against holes.angle") != std::string::npos);
        }
    }

    TEST_CASE("a figure that is not the hole it should be is refused with its byte") {
        const std::vector<DrawnPoint> square = figure(HoleShape::square, 2.0, 0);
        std::vector<DrawnPoint> oval = figure(HoleShape::circle, 2.0, 0);
        for (DrawnPoint& p : oval) p.x += p.x / 10;
        // A pentagram: its corners go round twice.
        const std::vector<DrawnPoint> star{{1000, 0}, {-809, 588}, {309, -951}, {309, 951}, {-809, -588}};
        std::vector<DrawnPoint> twice = figure(HoleShape::circle, 2.0, 0);
        const std::size_t once = twice.size();
        for (std::size_t k = 0; k < once; ++k) twice.push_back(twice[k]);
        for (const auto& wrong : {square, oval, star, twice}) {
            const std::string message = gdsii_complaint({wrong}, HoleShape::circle);
            CAPTURE(message);
            CHECK(message.find("h.gds: byte 98: a figure on the layer of the holes is no circle") == 0);
        }
        CHECK(gdsii_complaint({figure(HoleShape::circle, 2.0, 0)}, HoleShape::square).find("no square") !=
              std::string::npos);
        CHECK(gdsii_complaint({figure(HoleShape::circle, 2.0, 0), figure(HoleShape::circle, 2.2, 9000)},
                              HoleShape::circle)
                  .find("another size") != std::string::npos);
    }

    TEST_CASE("a file is read by its ending") {
        CHECK_THROWS_AS((void)read_hole_file("/no/such/file.csv", HoleShape::circle, 0.0), InputError);
        CHECK_THROWS_AS((void)read_hole_file(places::source_dir(), HoleShape::circle, 0.0), InputError);
        CHECK_THROWS_AS((void)read_hole_file("/dev/zero.csv", HoleShape::circle, 0.0), InputError);
    }

    TEST_CASE("a file of holes too large to be one is refused before it is read") {
        const auto path =
            std::filesystem::temp_directory_path() / ("tymbal-holes-" + std::to_string(::getpid()) + ".csv");
        std::ofstream(path) << "x (um),y (um)\n";
        std::filesystem::resize_file(path,
                                     (std::uintmax_t{128} << 20U) + 1);  // a hole in the file, not bytes on the disk
        CHECK_THROWS_WITH_AS((void)read_hole_file(path.string(), HoleShape::circle, 0.0),
                             doctest::Contains(".csv: is larger than 128 MiB"), InputError);
        std::filesystem::remove(path);
    }
}
