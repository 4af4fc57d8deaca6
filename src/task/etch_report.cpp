#include "etch_report.h"

#include "tymbal/base/error.h"
#include "tymbal/geometry/boundary.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace tymbal {

namespace {

constexpr double sigmas = 2.0;  // of the rates, for the safe ends of the window

void describe_area(const Boundary& rim, FrontReport& out) {
    const Box box = bounding_box(rim);
    out.area_m2 = area(rim);
    out.width_m = box.high.x - box.low.x;
    out.height_m = box.high.y - box.low.y;
    for (const Loop& loop : loops(rim)) {
        if (loop.area > 0.0)
            ++out.regions;
        else
            out.pillars.push_back({loop.centre, -loop.area, 2.0 * std::sqrt(-loop.area / std::acos(-1.0))});
    }
    std::stable_sort(out.pillars.begin(), out.pillars.end(),
                     [](const Pillar& a, const Pillar& b) { return a.area_m2 > b.area_m2; });
}

void describe_field(const PlacedHoles& holes, FrontReport& out) {
    const auto [low, high] = extent(holes);
    out.field_width_m = high.x - low.x;
    out.field_height_m = high.y - low.y;
}

/// The undercut whose mean film loss is `limit`: the share of the time for which the lower face is wet changes slowly,
/// so a straight line through two undercuts gives it.
std::optional<double> undercut_of_loss(const PlacedHoles& holes, const EtchPair& pair, double undercut,
                                       const FilmLoss& here, double limit) {
    if (here.mean() <= 0.0) return std::nullopt;
    const double other = undercut * std::clamp(limit / here.mean(), 0.3, 3.0);
    if (std::abs(other / undercut - 1.0) < 1e-3) return other;
    const FilmLoss there = film_loss(holes, pair, other, false);
    const double share_here = here.below_mean / here.above, share_there = there.below_mean / there.above;
    double u = other;
    for (int step = 0; step < 30; ++step) {
        const double share = share_here + (share_there - share_here) * (u - undercut) / (other - undercut);
        const double time = limit / (pair.film->si() * (1.0 + share));
        u = undercut_after(pair, time);
    }
    return u;
}

WindowEnd window_end(const char* limit, double time, double relative_spread) {
    return {limit, time, time * std::exp(-sigmas * relative_spread)};  // rates are positive: spread as a factor
}

void add_window(const Device& device, const PlacedHoles& holes, const EtchPair& pair, const FrontReport& front,
                EtchReport& out) {
    const double spread = pair.sacrificial_spread();
    if (front.clears_at_m > 0.0) {
        out.clear_s = time_for(pair, front.clears_at_m);
        out.clear_late_s = out.clear_s * std::exp(sigmas * spread);
    }
    const Limits& limits = device.limits;
    if (limits.largest_over_etch)
        out.ends.push_back(window_end("limits.largest_over_etch",
                                      time_for(pair, front.clears_at_m + limits.largest_over_etch->si()), spread));
    if (limits.largest_release_time)
        out.ends.push_back(
            {"limits.largest_release_time", limits.largest_release_time->si(), limits.largest_release_time->si()});
    if (limits.largest_film_loss && out.loss) {
        const auto u = undercut_of_loss(holes, pair, front.undercut->si(), *out.loss, limits.largest_film_loss->si());
        if (u)
            out.ends.push_back(window_end("limits.largest_film_loss", time_for(pair, *u),
                                          pair.film->deviation_si() / pair.film->si()));
    }
    std::stable_sort(out.ends.begin(), out.ends.end(),
                     [](const WindowEnd& a, const WindowEnd& b) { return a.early_s < b.early_s; });
}

}  // namespace

Box extent(const PlacedHoles& holes) {
    const auto [low, high] = bounding_box(holes.centres);
    const PlacedHoles one{holes.shape, holes.size, holes.angle_rad, {{0.0, 0.0}}};
    const double next_to_nothing = 1e-6 * holes.size;
    const Box hole = bounding_box(front(one, next_to_nothing));  // the hole itself
    return {{low.x + hole.low.x + next_to_nothing, low.y + hole.low.y + next_to_nothing},
            {high.x + hole.high.x - next_to_nothing, high.y + hole.high.y - next_to_nothing}};
}

FrontReport front_report(const Device& device, const PlacedHoles& holes) {
    FrontReport out;
    const Clearing cleared = clearing(holes);
    out.merges_at_m = cleared.merges_at;
    if (!cleared.spots.empty()) {
        out.clears_at_m = cleared.spots.front().clears_at;
        out.last_oxide = cleared.spots.front().place;
    }
    describe_field(holes, out);
    out.undercut = undercut_of(*device.release, device.film.material);
    if (!out.undercut || !(out.undercut->si() > 0.0)) return out;
    const Released* released = std::get_if<Released>(&device.outline);
    describe_area(released != nullptr ? released->front : front(holes, out.undercut->si()), out);
    if (released == nullptr) out.rim_short_m = beyond_front(boundary(device.outline), holes, out.undercut->si());
    return out;
}

std::optional<EtchReport> etch_report(const Device& device, const PlacedHoles& holes, const FrontReport& front) {
    const std::optional<EtchPair> pair = etch_pair(*device.release, device.film.material);
    if (!pair) return std::nullopt;
    const Etchant etchant = device.release->etchant.value_or(Etchant{});
    EtchReport out{etchant.row,
                   etchant.title,
                   etchant.hazard,
                   device.release->sacrificial,
                   pair->sacrificial,
                   pair->film,
                   {},
                   {},
                   {},
                   {},
                   {},
                   {},
                   {},
                   {},
                   {},
                   {}};
    if (front.undercut && front.undercut->si() > 0.0) {
        out.time_s = device.release->time ? device.release->time->si() : time_for(*pair, front.undercut->si());
        out.time_deviation_s = device.release->time
                                   ? device.release->time->deviation_si()
                                   : out.time_s * std::hypot(pair->sacrificial_spread(),
                                                             front.undercut->deviation_si() / front.undercut->si());
        out.loss = device.film_loss;
    }
    out.mean_m = device.film.thickness.si();
    out.deposited_m = out.mean_m + (out.loss ? out.loss->mean() : 0.0);
    if (out.loss) {
        out.at_rim_m = out.deposited_m - out.loss->above;
        out.at_holes_m = std::max(0.0, out.at_rim_m - out.loss->below_at_holes);
    }
    add_window(device, holes, *pair, front, out);
    return out;
}

std::vector<AcidRow> compare_acids(const Device& device, const Materials& materials, double undercut_m) {
    std::vector<AcidRow> rows;
    Release other = *device.release;
    for (const auto& [name, etchant] : materials.etchants) {
        other.etchant = etchant;
        const bool own = device.release->etchant && device.release->etchant->row == name;
        other.rate = own ? device.release->rate : std::nullopt;
        other.film_rate = own ? device.release->film_rate : std::nullopt;
        const std::optional<EtchPair> pair = etch_pair(other, device.film.material);
        if (!pair) continue;
        AcidRow row{name, etchant.hazard, 0.0, {}, {}};
        try {
            row.time_s = time_for(*pair, undercut_m);
        } catch (const NoAnswer&) {
            continue;  // this acid eats the film faster than the oxide
        }
        if (pair->film) {
            row.selectivity = pair->sacrificial.si() / pair->film->si();
            row.loss_per_face_m = pair->film->si() * row.time_s;
        }
        rows.push_back(row);
    }
    std::stable_sort(rows.begin(), rows.end(), [](const AcidRow& a, const AcidRow& b) {
        return a.selectivity.value_or(0.0) > b.selectivity.value_or(0.0);
    });
    return rows;
}

}  // namespace tymbal
