// Outlines with holes of their own pitch: the frequency jumps where a row appears, and the margin of the hole field
// gives way there.
#include "sizer.h"

#include "tymbal/base/error.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

constexpr double finest_accuracy = 2e-5;

}  // namespace

/// The least margin, no less than the design's, that keeps the number of holes.
std::optional<double> Sizer::margin_for(double u, long holes) const {
    const double pitch = start_.holes->pitch.si();
    double low = start_.holes->margin.si(), high = low + pitch;
    if (count_holes(u, std::nullopt) == holes) return std::nullopt;
    while (high - low > 1e-4 * pitch) {
        const double middle = 0.5 * (low + high);
        (count_holes(u, middle) > holes ? low : high) = middle;
    }
    if (count_holes(u, high) != holes) return std::nullopt;
    const double inside = high + 1e-2 * pitch;  // not on the very edge, so that rounding keeps the number
    return count_holes(u, inside) == holes ? inside : high;
}

/// Root of the miss between two sizes, each with the holes that fit or with `kept_holes` of them: Newton's step from
/// the nearer end by the mode's own sensitivity, the middle where that leaves the bracket. Empty when the ends have
/// come together without meeting the target.
std::optional<Trial> Sizer::close_in(Bracket& ends, const std::optional<long>& kept_holes) {
    for (int step = 0; step < 60; ++step) {
        const Trial& nearer = std::abs(ends.above.miss) < std::abs(ends.below.miss) ? ends.above : ends.below;
        if (std::abs(nearer.miss) < sizing::sought) return nearer;
        const double low = std::min(ends.above.u, ends.below.u), high = std::max(ends.above.u, ends.below.u);
        if (high - low < 1e-7) return std::nullopt;
        double u = nearer.u - nearer.miss / size_weight(nearer.sensitivity, wish_.sizing);
        if (!(u > low && u < high) || step % 4 == 3) {
            if (!kept_holes && ends.above.holes != ends.below.holes) {
                if (split_at_row(ends)) return std::nullopt;
                continue;
            }
            u = 0.5 * (low + high);
        }
        const Trial next = solve(u, kept_holes ? margin_for(u, *kept_holes) : std::nullopt);
        (next.miss > 0.0 ? ends.above : ends.below) = next;
    }
    return std::nullopt;
}

/// Brings the ends to both sides of a size where the number of holes changes, if the target lies in that jump; else one
/// end to it. @return whether it does
bool Sizer::split_at_row(Bracket& ends) {
    double left = ends.above.u, right = ends.below.u;
    while (std::abs(right - left) > 1e-7) {
        const double middle = 0.5 * (left + right);
        (count_holes(middle, std::nullopt) == ends.above.holes ? left : right) = middle;
    }
    const Trial before = solve(left, std::nullopt);
    (before.miss > 0.0 ? ends.above : ends.below) = before;
    if (before.miss <= 0.0) return false;
    const Trial after = solve(right, std::nullopt);
    (after.miss > 0.0 ? ends.above : ends.below) = after;
    return after.miss <= 0.0;
}

/// Beyond the jump with the holes it had before it.
std::optional<Trial> Sizer::with_row_left_out(const Trial& last_without) {
    const long holes = last_without.holes;
    try {
        const double step = last_without.u < bounds_[1] ? 1.3 * last_without.miss : 0.0;
        const double u = std::min(last_without.u + step, bounds_[1]);
        Bracket ends{last_without, solve(u, margin_for(u, holes))};
        if (ends.below.miss > 0.0) return std::nullopt;
        std::optional<Trial> landed = close_in(ends, holes);
        if (landed && landed->holes != holes) return std::nullopt;
        return landed;
    } catch (const NoAnswer&) {
        return std::nullopt;
    } catch (const InputError&) {
        return std::nullopt;
    }
}

Trial Sizer::search_outline() {
    Trial first = solve(std::clamp(0.0, bounds_[0], bounds_[1]), std::nullopt);
    for (;;) {
        if (std::abs(first.miss) < sizing::sought) return first;
        Bracket ends = straddle(first);
        if (const auto landed = close_in(ends, std::nullopt)) {
            how_ = std::holds_alternative<Released>(start_.outline)
                       ? "field, pitch and holes scale together; the undercut stays"
                   : wish_.sizing == Sizing::outline_and_holes ? "outline and holes scale together"
                                                               : "the outline alone gives way";
            return *landed;
        }
        const Trial& nearest = std::abs(ends.above.miss) < std::abs(ends.below.miss) ? ends.above : ends.below;
        if (ends.above.holes != ends.below.holes) {
            if (const auto landed = with_row_left_out(ends.above)) {
                how_ =
                    "a row of holes would appear at just this size: the margin of the hole field gives way and it is "
                    "left out";
                return *landed;
            }
            how_ =
                "a row of holes appears at just this size and the frequency jumps over the target: the nearest design";
            return nearest;
        }
        if (accuracy_ <= finest_accuracy) {
            how_ = "the solution's own steps are wider than the tolerance: the nearest design";
            return nearest;
        }
        accuracy_ = std::max(accuracy_ / 4.0, finest_accuracy);
        first = solve(nearest.u, std::nullopt);
    }
}

}  // namespace tymbal
