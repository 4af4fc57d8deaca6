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
    if (const auto* s = std::get_if<Strip>(&outline))
        return {{"outline.length", s->length.si()}, {"outline.width", s->width.si()}};
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

std::vector<KeyLength> lengths(const Device& device) {
    std::vector<KeyLength> all = outline_lengths(device.outline);
    if (!device.holes || device.holes->lattice == Lattice::list) return all;
    for (KeyLength& length : hole_lengths(*device.holes)) all.push_back(std::move(length));
    if (!device.holes->field) return all;
    all.push_back({"holes.field (x)", (*device.holes->field)[0].si()});
    all.push_back({"holes.field (y)", (*device.holes->field)[1].si()});
    return all;
}

}  // namespace

double rounded_length(double metres) {
    return std::round(1e10 * metres) / 1e10;
}

std::vector<SizedLength> sized_lengths(const Device& before, const Device& after) {
    std::vector<SizedLength> all;
    const std::vector<KeyLength> old = lengths(before), now = lengths(after);
    for (std::size_t k = 0; k < std::min(old.size(), now.size()); ++k)
        if (std::abs(now[k].metres / old[k].metres - 1.0) > 1e-12)
            all.push_back({old[k].key, old[k].metres, now[k].metres});
    return all;
}

namespace {

bool is_list(const std::string& key) {
    return key.rfind("holes.field", 0) == 0;
}

std::vector<Point> rounded_points(const std::vector<Point>& points) {
    std::vector<Point> all;
    for (const Point p : points) all.push_back({rounded_length(p.x), rounded_length(p.y)});
    return all;
}

bool same(const std::vector<Point>& a, const std::vector<Point>& b) {
    return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                      [](Point p, Point q) { return p.x == q.x && p.y == q.y; });
}

std::array<double, 2> rounded_field(const Device& device) {
    return {rounded_length((*device.holes->field)[0].si()), rounded_length((*device.holes->field)[1].si())};
}

bool same_field(const Device& a, const Device& b) {
    return a.holes && a.holes->field && (*a.holes->field)[0].si() == (*b.holes->field)[0].si() &&
           (*a.holes->field)[1].si() == (*b.holes->field)[1].si();
}

}  // namespace

Changes written_lengths(const Device& before, const Device& after) {
    Changes changes;
    if (const auto* polygon = std::get_if<Polygon>(&after.outline);
        polygon != nullptr && !same(polygon->vertices, std::get<Polygon>(before.outline).vertices))
        changes.push_back({"outline.vertices", rounded_points(polygon->vertices)});
    for (const SizedLength& length : sized_lengths(before, after))
        if (!is_list(length.key)) changes.push_back({length.key, rounded_length(length.after)});
    if (after.holes && after.holes->field && !same_field(before, after))
        changes.push_back({"holes.field", rounded_field(after)});
    if (after.holes && after.holes->lattice == Lattice::list && after.hole_file.empty() &&
        !same(before.holes->centres, after.holes->centres))
        changes.push_back({"holes.centres", rounded_points(after.holes->centres)});
    if (changes.empty())  // the design as it is
        for (const KeyLength& length : outline_lengths(after.outline)) changes.push_back({length.key, length.metres});
    return changes;
}

Changes as_written(const Device& before, const Device& after, const Changes& changes) {
    Changes all;
    const auto is_derived = [](const std::string& key) {
        return key == "outline.scale" || key == "holes.scale" || key == "holes.fill_factor";
    };
    bool derived = false;
    for (const Change& change : changes) {
        derived = derived || is_derived(change.key);
        if (change.key == "holes.field" && after.holes && after.holes->field)
            all.push_back({change.key, rounded_field(after)});
        else if (!is_derived(change.key))
            all.push_back(change);
    }
    if (!derived) return all;
    for (const Change& length : written_lengths(before, after)) {
        const auto same = [&](const Change& change) { return change.key == length.key; };
        if (std::none_of(all.begin(), all.end(), same)) all.push_back(length);
    }
    return all;
}

std::array<double, 2> scale_bounds(const Device& device, Sizing sizing) {
    std::array<double, 2> bounds{std::log(1e-3), std::log(1e3)};
    const auto narrow = [&](double low, double high) {
        bounds = {std::max(bounds[0], std::log(low)), std::min(bounds[1], std::log(high))};
    };
    for (const FreeKey& free : device.free) {
        if (free.key == "outline.scale") narrow(free.low, free.high);
        if (free.key == "outline.width" && sizing == Sizing::height) continue;
        if (free.key == "outline.height" && sizing == Sizing::width) continue;
        for (const KeyLength& length : outline_lengths(device.outline))
            if (free.key == length.key) narrow(free.low / length.metres, free.high / length.metres);
        if (free.key == "holes.field" && device.holes && device.holes->field &&
            std::holds_alternative<Released>(device.outline)) {
            const double side = (*device.holes->field)[0].si();
            narrow(free.low / side, free.high / side);
        }
    }
    if (bounds[0] > bounds[1]) throw NoAnswer("the ranges of [free] leave no common scale for the outline");
    return bounds;
}

}  // namespace tymbal
