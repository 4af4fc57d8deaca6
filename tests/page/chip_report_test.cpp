// The page about a chip: pictures of shapes on every device's card, and a size that many devices do not blow up.
#include "support/chip_folder.h"

#include "tymbal/page/write_report.h"
#include "tymbal/task/chip_report.h"

#include <doctest/doctest.h>

#include <sstream>
#include <string>

using namespace tymbal;

namespace {

/// A field of holes with its own etch front and a window with an opening beside each other.
ChipReport two_devices(const sample_chip::Folder& folder) {
    folder.put("pad.toml",
               "[outline]\nshape = \"disc\"\ndiameter = \"60 um\"\n[[openings]]\nshape = \"circle\"\ncentre = [\"10 "
               "um\", \"0 um\"]\ndiameter = \"12 um\"\n");
    const ChipDesign chip = folder.read(
        "[chip]\nwidth = \"5 mm\"\nlength = \"5 mm\"\nthickness = \"525 um\"\n[film]\nmaterial = "
        "\"nitride-stoichiometric\"\nthickness = \"100 nm\"\n[release]\ngap = \"2 um\"\nundercut = \"2.2 um\"\n"
        "[solve]\nmodes = 7\naccuracy = 1e-2\n[[device]]\nname = \"A\"\ndesign = \"drum.toml\"\nposition = [\"1 "
        "mm\", \"0 mm\"]\nchange = { \"solve.model\" = \"averaged\" }\n[[device]]\nname = \"B\"\ndesign = "
        "\"pad.toml\"\nposition = [\"-1 mm\", \"0 mm\"]\n",
        "[outline]\nshape = \"hole-field\"\n[holes]\nlattice = \"triangular\"\ndiameter = \"2 um\"\npitch = \"5 "
        "um\"\nfield = [\"40 um\", \"40 um\"]\n");
    return report_chip(chip, sample::table(), {2, 1e3});
}

/// The same two again and again, under names of their own.
ChipReport repeated(const ChipReport& two, int times) {
    ChipReport many = two;
    many.chip.devices.clear();
    many.prediction.devices.clear();
    many.release.reset();
    for (int k = 0; k < times; ++k)
        for (std::size_t d = 0; d < 2; ++d) {
            many.chip.devices.push_back(two.chip.devices[d]);
            many.prediction.devices.push_back(two.prediction.devices[d]);
            many.chip.devices.back().name += std::to_string(k);
            many.prediction.devices.back().name = many.chip.devices.back().name;
        }
    return many;
}

std::string page_of(const ChipReport& report) {
    std::ostringstream page;
    write_report(page, report, std::nullopt);
    return page.str();
}

int count(const std::string& page, const std::string& words) {
    int found = 0;
    for (std::size_t at = page.find(words); at != std::string::npos; at = page.find(words, at + 1)) ++found;
    return found;
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("each device's card has pictures of its six lowest shapes, cut off at the device's own film") {
        const sample_chip::Folder folder;
        const std::string page = page_of(two_devices(folder));
        CHECK(count(page, "<svg class=\"shape\"") == 12);
        CHECK(count(page, "aria-label=\"Shape of mode (1,1) of device A\"") == 1);
        for (const char* own : {"clip-path=\"url(#inside-A)\"", "mask=\"url(#inside-B)\""})
            CHECK(count(page, own) >= 6);
        for (const char* id : {"<clipPath id=\"inside-A\"", "<mask id=\"inside-B\"", "<path id=\"openings-B\""})
            CHECK_MESSAGE(count(page, id) == 1, id);
    }

    TEST_CASE("a page of many devices has fewer shapes of each, the lowest always, and stays of a few megabytes") {
        const sample_chip::Folder folder;
        const ChipReport two = two_devices(folder);
        for (const auto& [devices, shapes] : {std::pair{40, 6}, std::pair{60, 4}, std::pair{300, 1}}) {
            const std::string page = page_of(repeated(two, devices / 2));
            CHECK(count(page, "<svg class=\"shape\"") == devices * shapes);
            CHECK(count(page, "aria-label=\"Shape of mode (1,1) of device A1\"") == 1);
            CHECK(page.size() < 5'000'000);
        }
    }
}
