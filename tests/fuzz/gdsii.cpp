// Any bytes as a GDSII file of holes, and as a table of holes: refused, or holes at finite places.
#include "fuzz.h"

#include "tymbal/mask/hole_file.h"

#include <cmath>

using namespace tymbal;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size == 0) return 0;
    constexpr HoleShape shapes[] = {HoleShape::circle, HoleShape::square, HoleShape::hexagon};
    const HoleShape shape = shapes[data[0] % 3];
    const std::string bytes = fuzz::text_of(data + 1, size - 1);
    const auto check = [](const HoleFile& holes) {
        fuzz::require(!holes.centres.empty(), "a file of holes has holes");
        for (const Point& c : holes.centres) fuzz::require(std::isfinite(c.x + c.y), "a hole has a place");
        if (holes.drawn_width_m) fuzz::require(*holes.drawn_width_m > 0.0, "a hole has a width");
    };
    if (data[0] % 6 < 3)
        fuzz::may_refuse([&] { check(parse_hole_gdsii(bytes, "fuzz.gds", shape, 0.0)); });
    else
        fuzz::may_refuse([&] { check(parse_hole_csv(bytes, "fuzz.csv", shape)); });
    return 0;
}
