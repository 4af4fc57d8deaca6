// Fields written and read back: base64 by the standard's own examples, VTK files by VTK itself.
#include "support/approx.h"
#include "support/designs.h"

#include "text/base64.h"

#include "tymbal/print/write_fields.h"
#include "tymbal/task/solved.h"

#include <doctest/doctest.h>

#include <cmath>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <sstream>

#include <unistd.h>

using namespace tymbal;
namespace fs = std::filesystem;

namespace {

std::string coded(const std::string& text) {
    return base64({text.begin(), text.end()});
}

/// What VTK's own reader (Debian package python3-vtk9) finds in a file: name, tuples, components and sum of squares of
/// each array, then origin, spacing and dimensions. NaN are left out of the sums.
constexpr const char* outside_reader = R"(
import sys
import numpy
from vtkmodules.vtkIOXML import vtkXMLImageDataReader
from vtkmodules.util.numpy_support import vtk_to_numpy
reader = vtkXMLImageDataReader()
reader.SetFileName(sys.argv[1])
reader.Update()
image = reader.GetOutput()
for data in (image.GetPointData(), image.GetCellData()):
    for k in range(data.GetNumberOfArrays()):
        a = data.GetArray(k)
        print(a.GetName(), a.GetNumberOfTuples(), a.GetNumberOfComponents(), repr(float(numpy.nansum(vtk_to_numpy(a) ** 2))))
print(*map(repr, image.GetOrigin()[:2] + image.GetSpacing()[:2]), *image.GetDimensions())
)";

std::string read_outside(const fs::path& folder, const std::string& file) {
    std::ofstream(folder / "read.py") << outside_reader;
    const std::string command =
        "/usr/bin/python3 '" + (folder / "read.py").string() + "' '" + (folder / file).string() + "' 2>&1";
    FILE* pipe = ::popen(command.c_str(), "r");
    REQUIRE(pipe != nullptr);
    std::string text;
    char block[512];
    while (const std::size_t n = std::fread(block, 1, sizeof block, pipe)) text.append(block, n);
    ::pclose(pipe);
    return text;
}

double squares(const std::vector<double>& values) {
    double sum = 0.0;
    for (const double v : values) sum += std::isnan(v) ? 0.0 : v * v;
    return sum;
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("base64 gives the examples of its standard") {
        // RFC 4648, section 10
        CHECK(coded("") == "");
        CHECK(coded("f") == "Zg==");
        CHECK(coded("fo") == "Zm8=");
        CHECK(coded("foo") == "Zm9v");
        CHECK(coded("foob") == "Zm9vYg==");
        CHECK(coded("fooba") == "Zm9vYmE=");
        CHECK(coded("foobar") == "Zm9vYmFy");
    }
}

TEST_SUITE("reference") {
    TEST_CASE("VTK reads the fields back: same places, same numbers") {
        const Device device =
            sample::design(sample::film("50 nm") + "[outline]\nshape = \"disc\"\ndiameter = \"100 um\"\n" +
                           "[solve]\nmodes = 2\naccuracy = 1e-2\n");
        const SolvedDesign solved = solve(device);
        const Prediction p = complete(device, sample::table(), solved);
        const StressMap map = stress_map(device.outline, solved.laid.film, solved.set.fine);
        const fs::path folder = fs::temp_directory_path() / ("tymbal-fields-" + std::to_string(::getpid()));
        write_fields(folder.string(), p, map, true);

        std::istringstream modes(read_outside(folder, "modes.vti"));
        std::string name;
        std::size_t tuples = 0;
        int components = 0;
        double sum = 0.0;
        for (const PredictedMode& m : p.modes) {
            REQUIRE(static_cast<bool>(modes >> name >> tuples >> components >> sum));
            CHECK(name == "mode_" + std::to_string(m.mode.index));
            CHECK(tuples == m.mode.shape.w.size());
            CHECK(components == 1);
            CHECK(sum == sample::Approx(squares(m.mode.shape.w)).epsilon(1e-12));
        }
        const ShapeRaster& shape = p.modes.front().mode.shape;
        double x0 = 0.0, y0 = 0.0, dx = 0.0, dy = 0.0;
        int columns = 0, rows = 0;
        REQUIRE(static_cast<bool>(modes >> x0 >> y0 >> dx >> dy >> columns >> rows));
        CHECK((x0 == shape.x0 && y0 == shape.y0 && dx == shape.dx && dy == shape.dy));
        CHECK((columns == shape.columns && rows == shape.rows));

        std::istringstream stress(read_outside(folder, "stress.vti"));
        REQUIRE(static_cast<bool>(stress >> name >> tuples >> components >> sum));
        CHECK(name == "stress_largest_pa");
        CHECK(tuples == map.largest.size());
        CHECK(sum == sample::Approx(squares(map.largest)).epsilon(1e-12));
        REQUIRE(static_cast<bool>(stress >> name >> tuples >> components >> sum));
        CHECK(components == 3);
        REQUIRE(static_cast<bool>(stress >> x0 >> y0 >> dx >> dy >> columns >> rows));
        CHECK(x0 == sample::Approx(map.x0 - 0.5 * map.dx));
        CHECK(columns == map.columns + 1);  // points; the values belong to cells

        std::ifstream table(folder / "modes.csv");
        std::string line;
        std::size_t lines = 0;
        while (std::getline(table, line)) ++lines;
        CHECK(lines == 1 + shape.w.size());
        fs::remove_all(folder);
    }
}
