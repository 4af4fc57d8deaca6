// A whole chip and films with openings, from file to mask file, read back by an independent reader.
#include "tymbal/task/chip_pattern.h"
#include "tymbal/base/error.h"
#include "tymbal/geometry/lattice.h"
#include "tymbal/print/write_chip_pattern.h"
#include "tymbal/read/read_chip.h"

#include "support/designs.h"
#include "support/outside_gdsii.h"
#include "support/places.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <set>
#include <sstream>

#include <unistd.h>

using namespace tymbal;
namespace fs = std::filesystem;

namespace {

const std::string shared =
    "title = \"Skerry chip 12\"\n[chip]\nwidth = \"6 mm\"\nlength = \"5 mm\"\nthickness = \"525 um\"\n"
    "[film]\nmaterial = \"nitride-stoichiometric\"\nthickness = \"100 nm\"\nstress = \"1 GPa\"\n"
    "[process]\nlithography_bias = \"0.1 um\"\netch_bias = \"0.05 um\"\naddress_grid = \"50 nm\"\nleast_feature = "
    "\"0.8 um\"\n";
const std::string drum =
    "[outline]\nshape = \"rectangle\"\nwidth = \"120 um\"\nheight = \"100 um\"\n"
    "[holes]\nlattice = \"square\"\ndiameter = \"2 um\"\npitch = \"5 um\"\n";
const std::string pad =
    "[outline]\nshape = \"rectangle\"\nwidth = \"100 um\"\nheight = \"100 um\"\n"
    "[[openings]]\nshape = \"rectangle\"\nwidth = \"40 um\"\nheight = \"20 um\"\ncentre = [\"0 um\", \"30 um\"]\n"
    "[[openings]]\nshape = \"rectangle\"\nwidth = \"40 um\"\nheight = \"20 um\"\ncentre = [\"0 um\", \"-30 um\"]\n";

std::string device(const std::string& name, const std::string& file, const std::string& position) {
    return "[[device]]\nname = \"" + name + "\"\ndesign = \"" + file + "\"\nposition = [" + position + "]\n";
}

class Folder {
public:
    Folder() : path_(fs::temp_directory_path() / ("tymbal-chip-pattern-" + std::to_string(::getpid()))) {
        fs::create_directories(path_);
        put("drum.toml", drum);
        put("pad.toml", pad);
    }
    Folder(const Folder&) = delete;
    ~Folder() { fs::remove_all(path_); }
    void put(const std::string& name, const std::string& text) const { std::ofstream(path_ / name) << text; }
    [[nodiscard]] ChipDesign chip(const std::string& text) const {
        put("chip.toml", text);
        return read_chip((path_ / "chip.toml").string(), sample::table());
    }
    [[nodiscard]] std::vector<outside::Figure> outside(const ChipPattern& pattern) const {
        std::ofstream out(path_ / "chip.gds", std::ios::binary);
        LayerNumbers layers = usual_layers;
        layers[static_cast<std::size_t>(Layer::label)] = {63, 0};
        write_pattern(out, pattern, PatternFormat::gdsii, layers);
        out.close();
        return outside::figures((path_ / "chip.gds").string());
    }
    [[nodiscard]] std::string fault(const std::string& text) const {
        try {
            (void)draw_chip(chip(text), {});
        } catch (const NoAnswer& e) {
            return e.what();
        } catch (const InputError& e) {
            return e.what();
        }
        return "no fault";
    }

private:
    fs::path path_;
};

const std::string three = shared + device("A1", "drum.toml", "\"-1 mm\", \"0.5 mm\"") +
                          device("A2", "drum.toml", "\"1 mm\", \"0.5 mm\"") +
                          device("P", "pad.toml", "\"0 mm\", \"-1 mm\"");

double area_on(const std::vector<outside::Figure>& figures, int layer) {
    double sum = 0.0;
    for (const outside::Figure& f : figures)
        if (f.layer == layer) sum += f.area;
    return sum;
}

}  // namespace

TEST_SUITE("reference") {
    // gdspy 1.4.2 (Debian package python3-gdspy) reads the files on its own.
    TEST_CASE("an independent reader finds every hole and opening of a chip's devices in its place, by area") {
        const Folder folder;
        const ChipDesign chip = folder.chip(three);
        const ChipPattern pattern = draw_chip(chip, {});
        const auto figures = folder.outside(pattern);
        const auto wanted = place_holes(*chip.devices[0].device.holes, boundary(chip.devices[0].device.outline));
        long holes = 0;
        double furthest = 0.0;
        for (const outside::Figure& f : figures) {
            if (f.layer != 1) continue;
            ++holes;
            double nearest = 1e300;
            for (const double x : {-1000.0, 1000.0})
                for (const Hole& h : wanted)
                    nearest = std::min(nearest, std::hypot(f.x - x - 1e6 * h.centre.x, f.y - 500.0 - 1e6 * h.centre.y));
            furthest = std::max(furthest, nearest);
        }
        CHECK(holes == 2 * static_cast<long>(wanted.size()));
        CHECK(furthest <= 0.05 * std::sqrt(0.5) + 1e-9);
        // Drawn 0.15 um smaller on every side: 39.7 x 19.7 um, twice.
        CHECK(std::abs(area_on(figures, 5) - 2.0 * 39.7 * 19.7) < 1e-6);
        CHECK(std::abs(area_on(figures, 1) - static_cast<double>(holes) * 0.25 * 3.14159265 * 1.7 * 1.7) <
              0.005 * area_on(figures, 1));
    }

    TEST_CASE("label, names, marks, picture and frame stand on the chip, apart from each other") {
        const Folder folder;
        ChipPatternOptions options;
        options.picture = {{{{{-1e-4, -1e-4}, {1e-4, -1e-4}, {0.0, 1e-4}}}, false}};
        options.witnesses = {Witness::undercut_ruler};
        const ChipPattern pattern = draw_chip(
            folder.chip(three +
                        "[marks]\nlabel = \"SKERRY 12\"\ncrosses = [[\"-2.5 mm\", \"2 mm\"], [\"2.5 mm\", \"2 mm\"]]\n"
                        "squares = [[\"-2.5 mm\", \"-2 mm\"]]\npicture_position = [\"2 mm\", \"-1.5 mm\"]\n"),
            options);
        CHECK(pattern.label == "SKERRY 12");
        CHECK(pattern.warnings.empty());
        const auto figures = folder.outside(pattern);
        // Two crosses of 400 x 10 um, a square of 20 um, a triangle of 200 x 200 um.
        CHECK(std::abs(area_on(figures, 3) - 2.0 * (2.0 * 400.0 * 10.0 - 100.0) - 400.0 - 20000.0) < 1.0);
        CHECK(area_on(figures, 63) > 0.0);
        CHECK(area_on(figures, 2) > 0.0);
        CHECK(area_on(figures, 4) > 0.0);
        for (const outside::Figure& f : figures) {
            CHECK(std::abs(f.x) < 3000.0);
            CHECK(std::abs(f.y) < 2500.0);
        }
    }
}

TEST_SUITE("unit") {
    TEST_CASE("names of cells differ between chips and within one, so that files can be merged") {
        const Folder folder;
        const ChipPattern one = draw_chip(folder.chip(three), {});
        const ChipPattern other = draw_chip(folder.chip("# changed\n" + three), {});
        std::set<std::string> names;
        for (const ChipPattern& p : {one, other})
            for (const DrawnCell& cell : p.drawing.cells) {
                CHECK_MESSAGE(names.insert(cell.name).second, cell.name);
                CHECK(cell.name.size() <= 32);
            }
    }

    TEST_CASE(
        "devices called as marks or as parts of others are have cells of their own, and a label gives other names") {
        const Folder folder;
        const std::string odd = device("CHIP", "drum.toml", "\"-2 mm\", \"1 mm\"") +
                                device("A", "drum.toml", "\"0 mm\", \"1 mm\"") +
                                device("A_HOLE", "drum.toml", "\"2 mm\", \"1 mm\"") +
                                device("DEVICE2", "drum.toml", "\"-2 mm\", \"-1 mm\"") +
                                device("device2", "drum.toml", "\"0 mm\", \"-1 mm\"");
        const auto names_of = [&](const std::string& label) {
            ChipPatternOptions options;
            options.label = label;
            const ChipPattern p = draw_chip(folder.chip(shared + odd), options);
            std::set<std::string> names;
            for (const DrawnCell& cell : p.drawing.cells) CHECK_MESSAGE(names.insert(cell.name).second, cell.name);
            return names;
        };
        CHECK(names_of("").count(*names_of("OTHER").begin()) == 0);
    }

    TEST_CASE("overlaps, fronts that meet, devices off the chip and letters without strokes are refused by name") {
        const Folder folder;
        CHECK(folder.fault(three) == "no fault");
        CHECK(folder.fault(three + "[marks]\ncrosses = [[\"-1.05 mm\", \"0.5 mm\"]]\n")
                  .find("device A1 and cross 1 overlap") != std::string::npos);
        CHECK(
            folder.fault(three + "[marks]\nlabel = \"SKERRY \xE2\x82\xAC\"\n").find("has the letter '\xE2\x82\xAC'") !=
            std::string::npos);
        CHECK(folder.fault(three + "[marks]\ncross_width = \"0.4 um\"\ncrosses = [[\"-2.5 mm\", \"2 mm\"]]\n") ==
              "no fault");
        folder.put("field.toml",
                   "[outline]\nshape = \"hole-field\"\n[holes]\nlattice = \"square\"\ndiameter = \"2 um\"\npitch = "
                   "\"5 um\"\nfield = [\"100 um\", \"100 um\"]\n");
        const std::string bath =
            "[release]\nsacrificial = \"oxide-thermal\"\netchant = \"buffered-hf-5to1\"\ngap = \"2 um\"\nundercut = "
            "\"3 um\"\n"
            "[limits]\nlargest_release_time = \"2 h\"\n";
        const std::string close = shared + bath + device("F1", "field.toml", "\"0 mm\", \"0 mm\"") +
                                  device("F2", "field.toml", "\"0.11 mm\", \"0 mm\"");
        CHECK(folder.fault(close).find("the fronts of device F1 and device F2 meet at the largest undercut of") !=
              std::string::npos);
    }

    TEST_CASE("a mark below the least feature is broken and named") {
        const Folder folder;
        const ChipPattern p = draw_chip(
            folder.chip(three + "[marks]\ncross_width = \"0.4 um\"\ncrosses = [[\"-2.5 mm\", \"2 mm\"]]\n"), {});
        CHECK_FALSE(p.printable());
        CHECK(p.checks.back().name == "the width of the crosses");
    }
}
