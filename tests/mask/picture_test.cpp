// Figures of filled polygons from SVG files, and all that a mask cannot hold.
#include "tymbal/base/error.h"
#include "tymbal/mask/read_picture.h"

#include <doctest/doctest.h>

#include <cmath>
#include <string>
#include <utility>
#include <vector>

using namespace tymbal;

namespace {

std::string svg(const std::string& inside) {
    return "<?xml version=\"1.0\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 40 20\">\n" + inside +
           "\n</svg>\n";
}

double area_um2(const std::vector<FilledShape>& shapes) {
    double sum = 0.0;
    for (const DrawnRegion& r : draw_shapes(shapes, 1)) sum += area_m2(r) * 1e12;
    return sum;
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("paths with absolute and relative steps, polygons and rectangles are read to scale, y upwards") {
        // 40 units become 80 um: a rectangle of 40 x 2, a triangle of 10 x 10 above it, a square ring below.
        const auto shapes =
            parse_picture(svg("<title>a buoy</title><g fill=\"#000\"><rect x=\"0\" y=\"18\" width=\"40\" height=\"2\"/>"
                              "<polygon points=\"5,5 15,5 10,15\"/>"
                              "<path fill-rule=\"evenodd\" d=\"M20 0h10v10h-10zm2 2H28V8l-6 0Z\"/></g>"),
                          "buoy.svg", 80e-6);
        REQUIRE(shapes.size() == 3);
        CHECK(std::abs(area_um2(shapes) - 4.0 * (80.0 + 50.0 + 100.0 - 36.0)) < 0.1);
        for (const Point& p : shapes[0].rings[0]) CHECK(p.y <= -16e-6 + 1e-12);  // what SVG has below lies below
    }

    TEST_CASE("a path goes on after Z where its figure began") {
        const auto shapes = parse_picture(svg("<path d=\"M0 0 L10 0 L10 10 Z L-10 0 L-10 -10 Z\"/>"), "two.svg", 20e-6);
        REQUIRE(shapes.size() == 1);
        REQUIRE(shapes[0].rings.size() == 2);
        CHECK(std::abs(area_um2(shapes) - 100.0) < 0.1);
    }

    TEST_CASE("what no mask can hold is refused with file, line, element and reason") {
        const std::vector<std::pair<const char*, const char*>> refused{
            {"<text x=\"1\" y=\"1\">SKERRY</text>", "x.svg:3: <text>: is text, which needs a font"},
            {"<path d=\"M0 0C1 1 2 2 3 3Z\"/>", "x.svg:3: <path>: has the curve 'C'"},
            {"<path d=\"M0 0A1 1 0 0 0 3 3Z\"/>", "has the curve 'A'"},
            {"<circle r=\"3\"/>", "is a curve"},
            {"<path stroke=\"#000\" d=\"M0 0H4V4Z\"/>", "has a stroke"},
            {"<path style=\"stroke:#000\" d=\"M0 0H4V4Z\"/>", "has a style"},
            {"<path fill=\"none\" d=\"M0 0H4V4Z\"/>", "is not filled"},
            {"<g fill=\"none\"><path d=\"M0 0H4V4Z\"/></g>", "is not filled"},
            {"<path fill=\" transparent\" d=\"M0 0H4V4Z\"/>", "is not filled"},
            {"<g fill-rule=\"evenodd\"><path d=\"M0 0H4V4Z\"/></g>", "give it to each path"},
            {"<path fill-rule=\"even-odd\" d=\"M0 0H4V4Z\"/>", "accepted: evenodd, nonzero"},
            {"<g display=\"none\"><path d=\"M0 0H4V4Z\"/></g>", "can hide a figure"},
            {"<title><rect width=\"4\" height=\"4\"/></title>", "stands inside <title>"},
            {"<path fill=\"url(#g)\" d=\"M0 0H4V4Z\"/>", "refers to something else"},
            {"<path transform=\"scale(2)\" d=\"M0 0H4V4Z\"/>", "has a transform"},
            {"<script>alert(1)</script>", "is a script, which is not read"},
            {"<script href=\"x.js\"/>", "refers to something else"},
            {"<g onload=\"alert(1)\"/>", "has the script 'onload'"},
            {"<image href=\"http://example.org/a.png\"/>", "refers to something else"},
            {"<use href=\"#a\"/>", "refers to something else"},
            {"<polyline points=\"0,0 1,1\"/>", "is a line without area"},
            {"<rect x=\"0\" y=\"0\" width=\"4\" height=\"4\" rx=\"1\"/>", "has round corners"},
            {"<rect x=\"0\" y=\"0\" width=\"4mm\" height=\"4\"/>", "give a bare number"},
            {"<polygon points=\"0,0 1\"/>", "where a number should be"},
            {"<polygon points=\"0,0 1,1\"/>", "fewer than three corners"},
            {"<path d=\"L0 0\"/>", "does not begin with M"},
            {"<path d=\"M0 0 1 nan 4 4\"/>", "where a number should be"},
            {"<foo/>", "accepted: path, polygon and rect"},
            {"<g>", "where no <svg> is open"},
            {"", "holds no path, polygon or rect"}};
        for (const auto& each : refused) {
            const std::string inside = each.first, words = each.second;
            CAPTURE(inside);
            std::string said = "nothing";
            try {
                (void)parse_picture(svg(inside), "x.svg", 1e-4);
            } catch (const InputError& e) {
                said = e.what();
            }
            CHECK_MESSAGE(said.find(words) != std::string::npos, said);
        }
        for (const char* text :
             {"", "<", "<svg", "<svg a=", "<svg a=\"", "<!DOCTYPE svg [<!ENTITY a \"b\">]><svg/>", "<html/>", "words"})
            CHECK_THROWS_AS((void)parse_picture(text, "x.svg", 1e-4), InputError);
    }
}
