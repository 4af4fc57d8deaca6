#include "chip_apart.h"

#include "tymbal/base/error.h"
#include "tymbal/geometry/between.h"
#include "tymbal/geometry/strip.h"

#include "../base/plain.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace tymbal {

namespace {

constexpr double tweezers_m = 0.5e-3;  // that handling and dicing want along the edge

double nominal_undercut(const Device& d) {
    const auto undercut = d.release ? undercut_of(*d.release, d.film.material) : std::nullopt;
    return undercut ? undercut->si() : 0.0;
}

/// Undercut after limits.largest_release_time, where the bath's speed is known.
double undercut_at_limit(const Device& d) {
    if (!d.release || !d.limits.largest_release_time) return 0.0;
    Release bath = *d.release;
    bath.undercut.reset();
    bath.time = Sourced<Time>(*d.limits.largest_release_time, Time{}, {"limits", Origin::design});
    const auto undercut = undercut_of(bath, d.film.material);
    return undercut ? undercut->si() : 0.0;
}

std::string um(double metres) {
    return plain(1e6 * metres, 4) + " um";
}

std::string undercut_words(const ChipPattern& out) {
    return out.largest_undercut_m > 0.0
               ? " at the largest undercut of " + um(out.largest_undercut_m) + " (" + out.undercut_from + ")"
               : "";
}

void require_on_chip(const ChipThing& t, const Chip& chip, ChipPattern& out) {
    const double left = room_to_edge(t, chip) - t.reach_m;
    if (left <= 0.0)
        throw NoAnswer(t.name + " or its front leaves the chip" + undercut_words(out) + "; move it by " + um(-left) +
                       " or more");
    if (!t.device) return;
    if (!out.closest_edge || left < out.closest_edge->apart_m) out.closest_edge = {t.name, "the chip's edge", left};
}

void require_apart(const ChipThing& a, const ChipThing& b, ChipPattern& out) {
    const double reach = a.reach_m + b.reach_m;
    const double known = out.closest_fronts ? out.closest_fronts->apart_m : std::numeric_limits<double>::max();
    const double apart = distance_between({a.rim, a.at}, {b.rim, b.at}, known + reach) - reach;
    if (apart + reach <= 0.0) throw NoAnswer(a.name + " and " + b.name + " overlap; move one of them");
    if (apart <= 0.0)
        throw NoAnswer("the fronts of " + a.name + " and " + b.name + " meet" + undercut_words(out) +
                       "; move them apart by " + um(-apart) + " or more");
    if (apart < known) out.closest_fronts = {a.name, b.name, apart};
}

}  // namespace

void find_largest_undercut(const ChipDesign& chip, ChipPattern& out) {
    for (const ChipDevice& d : chip.devices) {
        const double nominal = nominal_undercut(d.device), limit = undercut_at_limit(d.device);
        if (nominal > out.largest_undercut_m) {
            out.largest_undercut_m = nominal;
            out.undercut_from = "release";
        }
        if (limit > out.largest_undercut_m) {
            out.largest_undercut_m = limit;
            out.undercut_from = "limits.largest_release_time";
        }
    }
}

Box free_box(const Device& device) {
    std::vector<Point> corners;
    const auto add = [&corners](const Box& b) { corners.insert(corners.end(), {b.low, b.high}); };
    add(bounding_box(boundary(device.outline)));
    for (const Opening& o : device.openings) add(bounding_box(o.figure));
    if (const auto* strip = std::get_if<Strip>(&device.outline))
        for (const Figure& f : free_sides(*strip)) add(bounding_box(f));
    return bounding_box(corners);
}

ChipThing thing_of(const ChipDevice& d, double largest_undercut_m) {
    ChipThing thing{"device " + d.name, boundary(d.device.outline), d.position, 0.0, true};
    const bool open = !d.device.openings.empty() || std::holds_alternative<Strip>(d.device.outline);
    if (const auto* released = std::get_if<Released>(&d.device.outline)) thing.front_from_m = released->undercut.si();
    if (open) thing.front_from_m = 0.0;
    if (thing.front_from_m) thing.reach_m = std::max(0.0, largest_undercut_m - *thing.front_from_m);
    if (!open) return thing;
    // Openings may reach beyond the outline and have fronts of their own: their box stands for all.
    const Box b = free_box(d.device);
    thing.rim = polygon_figure({b.low, {b.high.x, b.low.y}, b.high, {b.low.x, b.high.y}});
    return thing;
}

double room_to_edge(const ChipThing& t, const Chip& chip) {
    const Box b = bounding_box(t.rim);
    const double x = std::max(std::abs(t.at.x + b.low.x), std::abs(t.at.x + b.high.x));
    const double y = std::max(std::abs(t.at.y + b.low.y), std::abs(t.at.y + b.high.y));
    return std::min(0.5 * chip.width.si() - x, 0.5 * chip.length.si() - y);
}

void require_apart(const std::vector<ChipThing>& things, const Chip& chip, ChipPattern& out) {
    for (const ChipThing& t : things) require_on_chip(t, chip, out);
    for (std::size_t k = 0; k < things.size(); ++k)
        for (std::size_t m = 0; m < k; ++m) require_apart(things[m], things[k], out);
    if (out.closest_edge && out.closest_edge->apart_m < tweezers_m)
        out.warnings.push_back({"near-edge", out.closest_edge->one + " comes within " + um(out.closest_edge->apart_m) +
                                                 " of the chip's edge; tweezers and dicing want about 500 um"});
}

}  // namespace tymbal
