#include "tymbal/pattern/room.h"

#include <algorithm>
#include <cmath>

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
    std::optional<DrawnPoint> best;
    double least = 0.0;
    for (const int y : starts({room.inside.low.y, room.inside.high.y}, up, height, room.clearance))
        for (const int x : starts({room.inside.low.x, room.inside.high.x}, across, width, room.clearance)) {
            const double distance = std::hypot(x + 0.5 * width - near.x, y + 0.5 * height - near.y);
            if ((best && distance >= least) || !is_free(room, {{x, y}, {x + width, y + height}})) continue;
            best = DrawnPoint{x, y};
            least = distance;
        }
    return best;
}

}  // namespace tymbal
