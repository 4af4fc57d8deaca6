#include "tymbal/pattern/room.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace tymbal {

namespace {

struct Span {
    int low, high;
};

/// Where a box of this size can begin along one axis: flush with the chip, beside a taken box, or flush with one.
std::vector<int> starts(const Span& inside, const std::vector<Span>& taken, int size, int clearance) {
    std::vector<int> all{inside.low, inside.high - size};
    for (const Span& t : taken)
        for (const int at : {t.high + clearance, t.low - clearance - size, t.low, t.high - size}) all.push_back(at);
    std::sort(all.begin(), all.end());
    all.erase(std::unique(all.begin(), all.end()), all.end());
    return all;
}

/// Between which beginnings along x a box of this width, standing at `up`, would come too near to a taken one; by
/// their lower end.
std::vector<Span> blocked(const ChipRoom& room, int width, const Span& up) {
    std::vector<Span> all;
    for (const DrawnBox& t : room.taken)
        if (up.low < t.high.y + room.clearance && t.low.y < up.high + room.clearance)
            all.push_back({t.low.x - room.clearance - width, t.high.x + room.clearance});
    std::sort(all.begin(), all.end(), [](const Span& a, const Span& b) { return a.low < b.low; });
    return all;
}

/// Of rising beginnings the one whose box stands free with its centre nearest to `near`.
std::optional<int> nearest_free(const std::vector<int>& columns, const Span& inside, const std::vector<Span>& barred,
                                int width, int near) {
    std::optional<int> best;
    const auto off = [&](int x) { return std::abs(x + 0.5 * width - near); };
    auto next = barred.begin();
    int free_from = inside.low;
    for (const int x : columns) {
        for (; next != barred.end() && next->low < x; ++next) free_from = std::max(free_from, next->high);
        if (x < free_from || x + width > inside.high) continue;
        if (!best || off(x) < off(*best)) best = x;
    }
    return best;
}

}  // namespace

bool is_free(const ChipRoom& room, const DrawnBox& box) {
    const DrawnBox& in = room.inside;
    if (box.low.x < in.low.x || box.low.y < in.low.y || box.high.x > in.high.x || box.high.y > in.high.y) return false;
    return std::none_of(room.taken.begin(), room.taken.end(), [&](const DrawnBox& t) {
        return box.low.x < t.high.x + room.clearance && t.low.x < box.high.x + room.clearance &&
               box.low.y < t.high.y + room.clearance && t.low.y < box.high.y + room.clearance;
    });
}

std::optional<DrawnPoint> find_room(const ChipRoom& room, int width, int height, DrawnPoint near) {
    std::vector<Span> across, up;
    for (const DrawnBox& t : room.taken) {
        across.push_back({t.low.x, t.high.x});
        up.push_back({t.low.y, t.high.y});
    }
    const Span inside_x{room.inside.low.x, room.inside.high.x}, inside_y{room.inside.low.y, room.inside.high.y};
    const std::vector<int> columns = starts(inside_x, across, width, room.clearance);
    std::vector<int> rows = starts(inside_y, up, height, room.clearance);
    const auto off = [&](int y) { return std::abs(y + 0.5 * height - near.y); };
    std::stable_sort(rows.begin(), rows.end(), [&](int a, int b) { return off(a) < off(b); });
    std::optional<DrawnPoint> best;
    double least = std::numeric_limits<double>::infinity();
    for (const int y : rows) {
        if (off(y) > least) break;  // nor is any row that follows nearer
        if (y < inside_y.low || y + height > inside_y.high) continue;
        const auto x = nearest_free(columns, inside_x, blocked(room, width, {y, y + height}), width, near.x);
        if (!x) continue;
        const double distance = std::hypot(*x + 0.5 * width - near.x, off(y));
        if (distance > least || (distance == least && y > best->y)) continue;
        best = DrawnPoint{*x, y};
        least = distance;
    }
    return best;
}

}  // namespace tymbal
