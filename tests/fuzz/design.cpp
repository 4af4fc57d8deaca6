// Any bytes as a design: refused, or a design whose figures are finite; a value changed to itself stays what it is.
#include "fuzz.h"

#include "support/parse_device.h"
#include "tymbal/geometry/boundary.h"

#include <cmath>

using namespace tymbal;

/// The table is read before the first input's time counts.
extern "C" int LLVMFuzzerInitialize(int*, char***) {
    fuzz::materials();
    return 0;
}

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const std::string text = fuzz::text_of(data, size);
    ReadLimits limits;
    limits.most_holes = 2000;
    fuzz::may_refuse([&] {
        const Device device = parse_device(text, "fuzz.toml", fuzz::materials(), {}, limits);
        const double thickness = device.film.thickness.si(), enclosed = area(boundary(device.outline));
        fuzz::require(std::isfinite(thickness) && thickness > 0.0, "a film has a thickness");
        fuzz::require(std::isfinite(enclosed) && enclosed > 0.0, "an outline encloses an area");
        const double modulus = device.film.youngs_modulus.si();
        if (!device.film.layers.empty() || text.find("youngs_modulus") == std::string::npos) return;
        const Device again =
            parse_device(text, "fuzz.toml", fuzz::materials(), {{"film.youngs_modulus", modulus}}, limits);
        fuzz::require(again.film.youngs_modulus.si() == modulus, "a key changed to its own value keeps it");
    });
    return 0;
}
