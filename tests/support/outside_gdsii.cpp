#include "outside_gdsii.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <tuple>

#include <unistd.h>

namespace tymbal::outside {

namespace {

constexpr const char* flatten = R"(
import sys
import gdspy
import numpy
library = gdspy.GdsLibrary(infile=sys.argv[1])
top = library.top_level()
assert len(top) == 1, [c.name for c in top]
with open(sys.argv[2], "w") as out:
    for (layer, _), polygons in top[0].get_polygons(by_spec=True).items():
        for p in polygons:
            o = p[0]
            x, y = (p - o).T
            u, v = numpy.roll(x, -1), numpy.roll(y, -1)
            cross = x * v - u * y
            area = cross.sum() / 2
            cx, cy = ((x + u) * cross).sum() / (6 * area) + o[0], ((y + v) * cross).sum() / (6 * area) + o[1]
            out.write("%d %.9f %.9f %.12f %d\n" % (layer, cx, cy, abs(area), len(p)))
)";

std::filesystem::path scratch() {
    const auto folder = std::filesystem::temp_directory_path() / ("tymbal-outside-" + std::to_string(::getpid()));
    std::filesystem::create_directories(folder);
    return folder;
}

}  // namespace

void run_python(const std::string& script, const std::string& arguments) {
    const auto file = scratch() / "script.py";
    std::ofstream(file) << script;
    const std::string command = "/usr/bin/python3 '" + file.string() + "' " + arguments;
    REQUIRE_MESSAGE(std::system(command.c_str()) == 0, "needs the Debian package python3-gdspy (tests/packages.txt)");
}

std::vector<Figure> figures(const std::string& gdsii_file) {
    const auto listed = scratch() / "figures.txt";
    run_python(flatten, "'" + gdsii_file + "' '" + listed.string() + "'");
    std::vector<Figure> all;
    std::ifstream in(listed);
    for (Figure f; in >> f.layer >> f.x >> f.y >> f.area >> f.corners;) all.push_back(f);
    std::filesystem::remove_all(scratch());
    std::sort(all.begin(), all.end(), [](const Figure& a, const Figure& b) {
        return std::tuple(a.layer, std::llround(1e4 * a.y), a.x) < std::tuple(b.layer, std::llround(1e4 * b.y), b.x);
    });
    return all;
}

}  // namespace tymbal::outside
