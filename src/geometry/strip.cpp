#include "tymbal/geometry/strip.h"

namespace tymbal {

Rectangle frame_of(const Strip& strip) {
    const Sourced<Length>& width = strip.width;
    return {strip.length, {2.0 * width.value(), 2.0 * width.deviation(), width.source()}, {}};
}

std::array<Figure, 2> free_sides(const Strip& strip) {
    const double length = strip.length.si(), width = strip.width.si();
    const auto beside = [&](double side) {
        return rectangle_figure({0.0, side * width}, {1.2 * length, width}, 0.0, 0.0);
    };
    return {beside(-1.0), beside(1.0)};
}

std::array<Figure, 2> trenches(const Strip& strip, double width_m) {
    const double middle = 0.5 * (strip.width.si() + width_m);
    const auto beside = [&](double y) { return rectangle_figure({0.0, y}, {strip.length.si(), width_m}, 0.0, 0.0); };
    return {beside(-middle), beside(middle)};
}

}  // namespace tymbal
