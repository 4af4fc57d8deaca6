#include "sized_lengths.h"

#include "tymbal/base/error.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

struct KeyLength {
    std::string key;
    double metres = 0.0;
};

std::vector<KeyLength> outline_lengths(const Outline& outline) {
    if (const auto* r = std::get_if<Rectangle>(&outline)) {
        std::vector<KeyLength> all{{"outline.width", r->width.si()}, {"outline.height", r->height.si()}};
        if (r->corner_radius.si() > 0.0) all.push_back({"outline.corner_radius", r->corner_radius.si()});
        return all;
    }
    if (const auto* d = std::get_if<Disc>(&outline)) return {{"outline.diameter", d->diameter.si()}};
    if (const auto* a = std::get_if<Ring>(&outline))
        return {{"outline.outer_diameter", a->outer_diameter.si()}, {"outline.inner_diameter", a->inner_diameter.si()}};
    return {};
}

std::vector<KeyLength> hole_lengths(const HolePattern& holes) {
    const char* size = holes.shape == HoleShape::circle   ? "holes.diameter"
                       : holes.shape == HoleShape::square ? "holes.side"
                                                          : "holes.across_flats";
    return {{size, holes.size.si()}, {"holes.pitch", holes.pitch.si()}, {"holes.margin", holes.margin.si()}};
}

std::vector<KeyLength> lengths(const Design& design) {
    std::vector<KeyLength> all = outline_lengths(design.outline);
    if (!design.holes || design.holes->lattice == Lattice::list) return all;
    for (KeyLength& length : hole_lengths(*design.holes)) all.push_back(std::move(length));
    return all;
}

}  // namespace

double rounded_length(double metres) {
    return std::round(1e10 * metres) / 1e10;
}

std::vector<SizedLength> sized_lengths(const Design& before, const Design& after) {
    std::vector<SizedLength> all;
    const std::vector<KeyLength> old = lengths(before), now = lengths(after);
    for (std::size_t k = 0; k < std::min(old.size(), now.size()); ++k)
        if (std::abs(now[k].metres / old[k].metres - 1.0) > 1e-12)
            all.push_back({old[k].key, old[k].metres, now[k].metres});
    return all;
}

Changes written_lengths(const Design& before, const Design& after, Sizing sizing) {
    const bool points = std::holds_alternative<Polygon>(before.outline);
    const bool hole_points =
        sizing == Sizing::outline_and_holes && (before.holes->lattice == Lattice::list || before.holes->field);
    if (points || hole_points) return {};
    Changes changes;
    for (const SizedLength& length : sized_lengths(before, after))
        changes.push_back({length.key, rounded_length(length.after)});
    if (changes.empty())  // the design as it is
        for (const KeyLength& length : outline_lengths(after.outline)) changes.push_back({length.key, length.metres});
    return changes;
}

std::array<double, 2> scale_bounds(const Design& design, Sizing sizing) {
    std::array<double, 2> bounds{std::log(1e-3), std::log(1e3)};
    const auto narrow = [&](double low, double high) {
        bounds = {std::max(bounds[0], std::log(low)), std::min(bounds[1], std::log(high))};
    };
    for (const FreeKey& free : design.free) {
        if (free.key == "outline.scale") narrow(free.low, free.high);
        if (free.key == "outline.width" && sizing == Sizing::height) continue;
        if (free.key == "outline.height" && sizing == Sizing::width) continue;
        for (const KeyLength& length : outline_lengths(design.outline))
            if (free.key == length.key) narrow(free.low / length.metres, free.high / length.metres);
    }
    if (bounds[0] > bounds[1]) throw NoAnswer("the ranges of [free] leave no common scale for the outline");
    return bounds;
}

}  // namespace tymbal
