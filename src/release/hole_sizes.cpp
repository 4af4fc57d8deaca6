#include "tymbal/release/hole_sizes.h"

#include "tymbal/base/error.h"

#include <cmath>

namespace tymbal {

namespace {

HoleSize before(const HoleSize& after, double growth, double growth_deviation, const char* step) {
    const HoleSize size{after.width - 2.0 * growth, std::hypot(after.deviation, 2.0 * growth_deviation)};
    if (!(size.width > 0.0))
        throw NoAnswer(std::string("the holes grow by more than their size in the ") + step +
                       "; make them larger or the growth smaller");
    return size;
}

}  // namespace

HoleSizes hole_sizes(const Sourced<Length>& released, const std::optional<Process>& process,
                     const HoleSize& wet_growth) {
    HoleSizes sizes;
    sizes.released = {released.si(), released.deviation_si()};
    sizes.etched = before(sizes.released, wet_growth.width, wet_growth.deviation, "wet etch");
    if (!process) {
        sizes.printed = sizes.drawn = sizes.etched;
        return sizes;
    }
    sizes.printed = before(sizes.etched, process->etch_bias.si(), process->etch_bias.deviation_si(), "dry etch");
    sizes.drawn =
        before(sizes.printed, process->lithography_bias.si(), process->lithography_bias.deviation_si(), "lithography");
    return sizes;
}

}  // namespace tymbal
