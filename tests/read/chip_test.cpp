// Chip files: what is shared is said once, what differs is a change, and every fault names where it stands.
#include "tymbal/read/read_chip.h"

#include "support/approx.h"
#include "support/chip_folder.h"

#include "tymbal/base/error.h"

#include <doctest/doctest.h>

#include <unistd.h>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

using namespace tymbal;
using sample::Approx;
using sample_chip::Folder;
namespace fs = std::filesystem;

namespace {

const std::string silicon = "[chip]\nwidth = \"10 mm\"\nlength = \"8 mm\"\nthickness = \"525 um\"\n";  // lines 1-4
const std::string film =
    "[film]\nmaterial = \"nitride-stoichiometric\"\nthickness = \"100 nm\"\nstress = \"1 GPa\"\n";       // lines 5-8
const std::string drum = "[outline]\nshape = \"rectangle\"\nwidth = \"120 um\"\nheight = \"100 um\"\n";  // lines 1-4
const std::string holes = "[holes]\nlattice = \"square\"\ndiameter = \"2 um\"\npitch = \"5 um\"\n";      // lines 5-8

std::string device(const std::string& name, const std::string& position, const std::string& more = "") {
    return "[[device]]\nname = \"" + name + "\"\ndesign = \"drum.toml\"\nposition = [" + position + "]\n" + more;
}

bool says(const std::string& text, const std::vector<std::string>& parts) {
    for (const std::string& part : parts)
        if (text.find(part) == std::string::npos) return false;
    return true;
}

double width(const ChipDevice& d) {
    return std::get<Rectangle>(d.device.outline).width.si();
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("a chip's film and silicon reach every device, which stands where the chip puts it") {
        const Folder folder;
        const ChipDesign chip = folder.read(
            "title = \"Skerry 12\"\n" + silicon + film + device("A1", "\"1 mm\", \"2 mm\"") +
                device("A2", "\"-1 mm\", \"0 mm\"", "change = { \"holes.diameter\" = \"1.8 +- 0.1 um\" }\n"),
            drum + holes);
        REQUIRE(chip.devices.size() == 2);
        CHECK(chip.title == "Skerry 12");
        CHECK(chip.sha256.size() == 64);
        CHECK(chip.chip.width.si() == Approx(10e-3));
        CHECK(chip.chip.position.x == 0.0);
        const ChipDevice &a = chip.devices[0], &b = chip.devices[1];
        CHECK(a.name == "A1");
        CHECK(a.position.y == Approx(2e-3));
        CHECK(a.device.chip->position.x == Approx(1e-3));
        CHECK(a.device.chip->length.si() == Approx(8e-3));
        CHECK(a.device.film.thickness.si() == Approx(100e-9));
        CHECK(a.device.holes->size.si() == Approx(2e-6));
        CHECK(b.device.holes->size.si() == Approx(1.8e-6));
        CHECK(b.device.holes->size.deviation_si() == Approx(0.1e-6));
        CHECK(b.design_file == folder / "drum.toml");
    }

    TEST_CASE("an array names its devices along x, then y, and gives each its two values") {
        const Folder folder;
        const ChipDesign chip = folder.read(
            silicon + film +
                "[[array]]\nname = \"B\"\ndesign = \"drum.toml\"\nposition = [\"-2 mm\", \"-1 mm\"]\nstep = "
                "[\"0.8 mm\", \"0.5 mm\"]\nvary_x = \"outline.width=100um..300um:3\"\nvary_y = "
                "\"holes.diameter=1um,2um\"\nchange = { outline = { height = \"90 um\" } }\n",
            drum + holes);
        REQUIRE(chip.devices.size() == 6);
        const ChipDevice& last = chip.devices[5];
        CHECK(last.name == "B6");
        CHECK(width(last) == Approx(300e-6));
        CHECK(last.device.holes->size.si() == Approx(2e-6));
        CHECK(last.position.x == Approx(-0.4e-3));
        CHECK(last.position.y == Approx(-0.5e-3));
        CHECK(chip.devices[1].name == "B2");
        CHECK(width(chip.devices[1]) == Approx(200e-6));
        CHECK(chip.devices[1].device.holes->size.si() == Approx(1e-6));
        CHECK(std::get<Rectangle>(last.device.outline).height.si() == Approx(90e-6));
    }

    TEST_CASE("a design may repeat what the chip says, in another unit too, and loses its own place on the chip") {
        const Folder folder;
        const ChipDesign chip = folder.read(
            silicon + film + device("A", "\"1 mm\", \"0 mm\""),
            drum + "[film]\nthickness = \"0.1 um\"\n[chip]\nwidth = \"1 cm\"\nposition = [\"3 mm\", \"0 mm\"]\n");
        CHECK(chip.devices[0].device.chip->position.x == Approx(1e-3));
    }

    TEST_CASE("marks in a file without devices are told to belong to a chip file") {
        try {
            (void)sample::design("[marks]\nlabel = \"A\"\n" + film + drum);
            FAIL("accepted");
        } catch (const InputError& e) {
            CHECK(says(e.what(), {":1: marks: belongs to a chip file", "no [[device]] or [[array]]"}));
        }
    }

    TEST_CASE("marks are read with their fallbacks, and a device may be varied by name") {
        const Folder folder;
        const ChipDesign chip = folder.read(silicon + film + device("A", "\"1 mm\", \"0 mm\"") +
                                                "[marks]\nlabel = \"SKERRY 12\"\ncrosses = [[\"-4 mm\", \"3 mm\"]]\n"
                                                "cross_arm = \"100 um\"\n",
                                            drum + holes);
        CHECK(chip.marks.label == "SKERRY 12");
        CHECK(chip.marks.crosses.size() == 1);
        CHECK(chip.marks.cross_arm_m == Approx(100e-6));
        CHECK(chip.marks.cross_width_m == Approx(10e-6));
        const DeviceAt at = devices_of(read_chip_device(folder / "chip.toml", "A"), sample::table());
        CHECK(std::get<Rectangle>(at({{"outline.width", 150e-6}}).outline).width.si() == Approx(150e-6));
        CHECK(at({}).chip->position.x == Approx(1e-3));
        for (const char* name : {"", "B"}) {
            const auto ask = [&] { (void)read_chip_device(folder / "chip.toml", name); };
            CHECK_THROWS_WITH_AS(ask(), doctest::Contains("A"), InputError);
        }
    }

    TEST_CASE("what is wrong with a chip is said with chip file, device, design file, line and key") {
        const Folder folder;
        const std::string start = silicon + film;  // the first device stands on line 9
        const std::string one = device("A1", "\"1 mm\", \"2 mm\"");
        struct Bad {
            std::string chip, design;
            std::vector<std::string> parts;
        };
        const std::string array =
            "[[array]]\nname = \"A\"\ndesign = \"drum.toml\"\nposition = [\"0 mm\", \"0 mm\"]\n"
            "step = [\"1 mm\", \"1 mm\"]\n";
        const std::vector<Bad> all{
            {start + one + device("A1", "\"-1 mm\", \"2 mm\""), drum, {"chip.toml:13", "A1", "twice", "line 9"}},
            {start + one + array + "vary_x = \"outline.width=90um,99um\"\n", drum, {"chip.toml:13", "'A1'", "line 9"}},
            {start + one + device("A2", "\"1 mm\", \"2 mm\""), drum, {"chip.toml:13", "A2", "A1", "line 9", "move"}},
            {start + one + device("A2", "\"1.1 mm\", \"2 mm\""), drum, {"chip.toml:13", "A2", "film meet", "A1"}},
            {start + device("A1", "\"4.98 mm\", \"2 mm\""),
             drum,
             {"chip.toml:12: position: of device A1", "outside the chip"}},
            {start + array + "vary_x = \"outline.width=90um,99um\"\n" + device("B", "\"1 mm\", \"-3.98 mm\""),
             drum,
             {"chip.toml:18: position: of device B", "enlarge chip.length"}},
            {start + one,
             "[film]\nthickness = \"90 nm\"\n" + drum,
             {"chip.toml:9: device A1", "drum.toml:2: film.thickness", "chip.toml:7", "'90 nm'", "'100 nm'"}},
            {start + one, "[chip]\nwidth = \"9 mm\"\n" + drum, {"drum.toml:2: chip.width", "chip.toml:2"}},
            {start + one, drum + "colour = 3\n", {"chip.toml:9: device A1", "drum.toml:5: outline.colour"}},
            {silicon + one, drum, {"chip.toml:5: device A1", "drum.toml", "[film]"}},
            {start + device("A1", "\"1 mm\", \"2 mm\"", "change = { \"film.stress\" = \"2 GPa\" }\n"),
             drum,
             {"chip.toml:13", "film.stress", "share", "[film]"}},
            {start + device("A1", "\"1 mm\", \"2 mm\"", "change = { \"release.time\" = \"2 min\" }\n"),
             drum,
             {"chip.toml:13", "release.time", "share"}},
            {start + device("A1", "\"1 mm\", \"2 mm\"", "change = { \"outline.widht\" = \"2 um\" }\n"),
             drum,
             {"chip.toml:9: device A1", "outline.widht", "'width'"}},
            {start + device("A1", "\"1 mm\", \"2 mm\"", "change = { \"outline.width\" = \"2 GPa\" }\n"),
             drum,
             {"chip.toml:9: device A1", "chip.toml:13: outline.width", "a stress where a length"}},
            {start + array + "vary_x = \"film.thickness=90nm,99nm\"\n", drum, {"chip.toml:14", "share"}},
            {start + array + "vary_x = \"outline.width=90um..99um\"\n", drum, {"chip.toml:14: array.vary_x", "90um"}},
            {start + array, drum, {"chip.toml:9: array.vary_x", "is missing"}},
            {start + "[[device]]\nname = \"A 1\"\nposition = [\"0 mm\", \"0 mm\"]\ndesign = \"drum.toml\"\n",
             drum,
             {"chip.toml:10: device.name", "letters"}},
            {start + "[[device]]\nname = \"A\"\nposition = [\"0 mm\", \"0 mm\"]\ndesign = \"../drum.toml\"\n",
             drum,
             {"chip.toml:12: device.design", "stranger"}},
            {start + "[[device]]\nname = \"A\"\nposition = [\"0 mm\", \"0 mm\"]\ndesign = \"/etc/passwd\"\n",
             drum,
             {"chip.toml:12: device.design", "stranger"}},
            {start + "[[device]]\nname = \"A\"\nposition = [\"0 mm\", \"0 mm\"]\ndesign = \"chip.toml\"\n",
             drum,
             {"chip.toml", "makes this a chip file"}},
            {start + "[[device]]\nname = \"A\"\nposition = [\"0 mm\", \"0 mm\"]\ndesign = \"no.toml\"\n",
             drum,
             {"chip.toml:12: device.design", "no file that can be read"}},
            {film + one, drum, {"chip", "is missing"}},
            {start + "[outline]\nshape = \"disc\"\n" + one, drum, {"chip.toml:9: outline", "one device"}},
            {start + one + "[marks]\nlable = \"A\"\n", drum, {"chip.toml:14: marks.lable", "'label'"}},
            {start + one + "[marks]\ncrosses = [[\"5 mm\", \"0 mm\"]]\n",
             drum,
             {"chip.toml:14: marks.crosses", "leaves the chip"}},
        };
        for (const Bad& bad : all) {
            const std::string fault = folder.fault(bad.chip, bad.design);
            CAPTURE(fault);
            CAPTURE(bad.chip);
            CHECK(says(fault, bad.parts));
        }
    }

    TEST_CASE(
        "what is wrong in the chip's own sections is told of them, and of a device where it is wrong for that alone") {
        const Folder folder;
        const std::string two = device("A1", "\"1 mm\", \"2 mm\"") + device("A2", "\"-1 mm\", \"2 mm\"");
        const auto film_of = [](const std::string& lines) {
            return "[film]\nmaterial = \"nitride-stoichiometric\"\n" + lines;  // lines 5 and 6
        };
        struct Bad {
            std::string sections, says;
        };
        for (const Bad& bad :
             {Bad{silicon + film_of("thickness = \"-1 nm\"\nstress = \"1 GPa\"\n"), "chip.toml:7: film.thickness: "},
              Bad{silicon + film_of("stress = \"1 GPa\"\n"), "chip.toml:5: film.thickness: is missing"},
              Bad{silicon + film_of("thickness = \"90 nm\"\nstress = \"1 GPa\"\n[[film.layer]]\nmaterial = "
                                    "\"aluminum\"\nthickness = \"9 nm\"\n"),
                  "chip.toml:10: film.layer.material: "},
              Bad{silicon + film + "[readout]\nwavelength = \"1 GPa\"\nspot_radius = \"5 um\"\n",
                  "chip.toml:10: readout.wavelength: "},
              Bad{"film = 3\n" + silicon, "chip.toml:1: film: "}}) {
            CAPTURE(bad.sections);
            for (const std::string& devices : {two, device("A1", "\"1 mm\", \"2 mm\"")}) {
                const std::string fault = folder.fault(bad.sections + devices, drum);
                CAPTURE(fault);
                CHECK(says(fault, {bad.says}));
                CHECK_FALSE(says(fault, {"device"}));
            }
        }
        // This film is too thick for the smaller device alone, and a change is the device's own.
        const std::string thick = silicon + film_of("thickness = \"15 um\"\nstress = \"1 GPa\"\n");
        const std::string small = "change = { \"outline.width\" = \"60 um\" }\n";
        CHECK(
            says(folder.fault(thick + two + small, drum), {"chip.toml:13: device A2", "chip.toml:7: film.thickness"}));
        const std::string light = silicon + film + "[readout]\nwavelength = \"1 um\"\nspot_radius = \"5 um\"\n";
        CHECK(says(
            folder.fault(
                light + device("A1", "\"1 mm\", \"2 mm\"", "change = { \"readout.wavelength\" = \"1 GPa\" }\n"), drum),
            {"chip.toml:12: device A1", "chip.toml:16: readout.wavelength"}));
    }

    TEST_CASE("two designs of one chip have one film and one bath, or the second is told where the first stands") {
        const Folder folder;
        const std::string other =
            "[[device]]\nname = \"A2\"\ndesign = \"below/pad.toml\"\nposition = [\"0 mm\", \"0 mm\"]\n";
        const std::string bath = "[release]\ngap = \"2 um\"\nundercut = \"2 um\"\n";
        const std::string chip = silicon + device("A1", "\"1 mm\", \"2 mm\"") + other;
        folder.put("below/pad.toml", film + drum);
        CHECK(folder.read(chip, film + drum).devices.size() == 2);
        folder.put("below/pad.toml", film + "density = \"3000 kg/m^3\"\n" + drum);
        CHECK(
            says(folder.fault(chip, film + drum), {"chip.toml:9: device A2", "below/pad.toml:5: film.density", "A1"}));
        CHECK(says(folder.fault(chip, film + "density = \"3 g/cm^3\"\n" + drum), {"no fault"}));
        CHECK(says(folder.fault(chip, film + "density = \"3.1 g/cm^3\"\n" + drum),
                   {"below/pad.toml:5: film.density", "drum.toml:5", "3.1 g/cm^3"}));
        CHECK(says(folder.fault(chip, film + "density = \"3 g/cm^3\"\n" + drum + bath),
                   {"device A2", "below/pad.toml: release", "drum.toml"}));
    }

    TEST_CASE("a link out of the chip's folder is refused") {
        const Folder folder;
        const fs::path outside = fs::temp_directory_path() / ("tymbal-outside-" + std::to_string(::getpid()) + ".toml");
        std::ofstream(outside) << drum;
        fs::create_symlink(outside, folder / "below/link.toml");
        const std::string chip = silicon + film +
                                 "[[device]]\nname = \"A\"\nposition = [\"0 mm\", \"0 mm\"]\ndesign = "
                                 "\"below/link.toml\"\n";
        CHECK(says(folder.fault(chip, drum), {"chip.toml:12: device.design", "link that leads out"}));
        fs::remove(outside);
    }

    TEST_CASE("where one design is wanted, a chip file is told by name, and which commands take it") {
        const Folder folder;
        (void)folder.read(silicon + film + device("A", "\"1 mm\", \"0 mm\""), drum);
        CHECK(is_chip_file(folder / "chip.toml"));
        CHECK_FALSE(is_chip_file(folder / "drum.toml"));
        const auto read = [&] { check(read_design(folder / "chip.toml"), sample::table()); };
        CHECK_THROWS_WITH_AS(read(), doctest::Contains("chip.toml:9: device: makes this a chip file"), InputError);
        CHECK_THROWS_WITH_AS(read(), doctest::Contains("--device"), InputError);
    }
}
