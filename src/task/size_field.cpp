// Outlines that the etch sets free: the field takes whole rows at its pitch, and between two counts of them the
// undercut, which is the membrane's border, meets the target.
#include "tymbal/base/error.h"
#include "tymbal/geometry/pillars.h"

#include "holes_in_place.h"
#include "sizer.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace tymbal {

namespace {

const char* const by_border =
    "whole rows of holes jump over the target: the undercut, which is the border of this membrane, meets it";

/// Ends of [free] on the undercut; none without.
std::array<double, 2> border_bounds(const Device& device) {
    for (const FreeKey& free : device.free)
        if (free.key == "release.undercut") return {free.low, free.high};
    return {0.0, 1.0};
}

}  // namespace

/// Brings the ends to neighbouring counts of rows. @return whether one of them is the answer itself
bool Sizer::narrow_to_a_row(Bracket& ends) {
    while (std::abs(ends.below.u - ends.above.u) > 1e-6) {
        const double middle = 0.5 * (ends.above.u + ends.below.u);
        const long holes = count_holes(middle, std::nullopt);
        if (holes == ends.above.holes) {
            ends.above.u = middle;
        } else if (holes == ends.below.holes) {
            ends.below.u = middle;
        } else {
            const Trial next = solve(middle, std::nullopt);
            (next.miss > 0.0 ? ends.above : ends.below) = next;
            if (std::abs(next.miss) < sizing::sought) return true;
        }
    }
    return false;
}

/// How far the undercut has to move for this field to come to the target, to first order, m.
double Sizer::border_step(const Trial& state) const {
    const double weight = 0.5 * state.sensitivity.rim;  // d ln f / d undercut
    return weight < 0.0 ? -state.miss / weight : 0.0;
}

/// Empty where this field with this undercut has no answer.
std::optional<Trial> Sizer::answer_at(double u, double undercut) {
    try {
        return solve(u, undercut);
    } catch (const NoAnswer&) {
        return std::nullopt;
    } catch (const InputError&) {
        return std::nullopt;
    }
}

/// This field with an undercut that meets the target, by false position (Illinois) between undercuts on both sides.
/// Empty where the undercut would leave oxide between the holes, or [free], or where a design on the way has no answer.
std::optional<Trial> Sizer::meet_by_border(const Trial& state) {
    const double start = std::get<Released>(start_.outline).undercut.si();
    const Device there = design_at_(changes_at(state.u, std::nullopt));
    const auto spots = clearing(holes_in_place(there)).spots;
    std::array<double, 2> bounds = border_bounds(start_);
    if (!spots.empty()) bounds[0] = std::max(bounds[0], std::min(start, spots.front().clears_at));
    double a = start, at_a = state.miss, b = start, at_b = state.miss;
    constexpr double widest = 0.3;  // of the undercut: a first step that a poor solution makes long is held back
    double step = std::clamp(1.1 * border_step(state), -widest * start, widest * start);
    for (int turn = 0; turn < 8 && (at_a > 0.0) == (at_b > 0.0); ++turn) {
        const double further = std::clamp(b + step, bounds[0], bounds[1]);
        if (std::abs(further - b) < 1e-4 * start) return std::nullopt;
        std::optional<Trial> next = answer_at(state.u, further);
        if (!next) {  // oxide or [free] may end the way short of there
            step *= 0.5;
            continue;
        }
        if (std::abs(next->miss) < sizing::sought) return next;
        a = b;
        at_a = at_b;
        b = further;
        at_b = next->miss;
        step *= 1.5;
    }
    for (int turn = 0; turn < 20 && (at_a > 0.0) != (at_b > 0.0); ++turn) {
        const double x = b - at_b * (b - a) / (at_b - at_a);
        std::optional<Trial> next = answer_at(state.u, x);
        if (!next) return std::nullopt;
        if (std::abs(next->miss) < sizing::sought) return next;
        if ((next->miss > 0.0) == (at_b > 0.0)) {
            at_a *= 0.5;
        } else {
            a = b;
            at_a = at_b;
        }
        b = x;
        at_b = next->miss;
    }
    return std::nullopt;
}

Trial Sizer::search_field() {
    Trial first = solve(std::clamp(0.0, bounds_[0], bounds_[1]), std::nullopt);
    how_ = "the field grows by whole rows at its pitch; the undercut stays";
    if (std::abs(first.miss) < sizing::sought) return first;
    Bracket ends = straddle(first);
    if (narrow_to_a_row(ends)) return std::abs(ends.above.miss) < sizing::sought ? ends.above : ends.below;
    std::array<const Trial*, 2> order{&ends.above, &ends.below};
    if (std::abs(border_step(ends.below)) < std::abs(border_step(ends.above))) std::swap(order[0], order[1]);
    for (const Trial* state : order) {
        if (const auto met = meet_by_border(*state)) {
            how_ = by_border;
            return *met;
        }
    }
    how_ =
        "a row of holes appears at just this size and the frequency jumps over the target, and no undercut that "
        "leaves no oxide meets it: the nearest design";
    return std::abs(ends.above.miss) < std::abs(ends.below.miss) ? ends.above : ends.below;
}

}  // namespace tymbal
