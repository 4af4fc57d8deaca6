// Any text as any kind of quantity: refused, or finite numbers that print and read back as the same ones.
#include "fuzz.h"

#include "tymbal/base/parse_quantity.h"

#include <cmath>
#include <cstdio>

using namespace tymbal;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size == 0) return 0;
    constexpr int kinds = static_cast<int>(Kind::adhesion) + 1;
    const Kind kind = static_cast<Kind>(data[0] % kinds);
    const std::string text = fuzz::text_of(data + 1, size - 1);
    try {
        const ParsedQuantity parsed = parse_quantity(text, kind);
        fuzz::require(std::isfinite(parsed.value) && std::isfinite(parsed.deviation), "a quantity is finite");
        fuzz::require(parsed.deviation >= 0.0, "a deviation is not negative");
        char printed[64];
        std::snprintf(printed, sizeof printed, "%.17g %s", parsed.value, si_unit(kind).c_str());
        fuzz::require(parse_quantity(printed, kind).value == parsed.value, "a quantity printed in SI reads back");
    } catch (const UnitError&) {
    }
    return 0;
}
