#include "split_holes.h"

#include "tymbal/geometry/front.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace tymbal {

namespace {

/// Does a corner of either lie in the other, or an edge of the opening pass through the hole?
bool meet(const PlacedHoles& like, const std::vector<Point>& corners, Point centre, const Figure& open) {
    if (signed_distance(open, centre) >= 0.0) return true;
    if (corners.empty()) return signed_distance(open, centre) > -0.5 * like.size;
    for (const Edge& e : open)
        for (int k = 0; k < 16; ++k)
            if (distance_to_hole(like, centre, point_on(e, k / 16.0)) == 0.0) return true;
    return std::any_of(corners.begin(), corners.end(), [&](Point c) {
        return signed_distance(open, {centre.x + c.x, centre.y + c.y}) >= 0.0;
    });
}

std::vector<Point> corners_of(const PlacedHoles& like) {
    std::vector<Point> corners = figure(like.shape, like.size);
    const double c = std::cos(like.angle_rad), s = std::sin(like.angle_rad);
    for (Point& p : corners) p = {c * p.x - s * p.y, s * p.x + c * p.y};
    return corners;
}

}  // namespace

SplitHoles split_holes(const HolePattern& pattern, const std::vector<Hole>& holes, const std::vector<Figure>& open) {
    const PlacedHoles like = placed(pattern, {});
    const std::vector<Point> corners = corners_of(like);
    std::vector<std::size_t> by_x(holes.size());
    std::iota(by_x.begin(), by_x.end(), std::size_t{0});
    std::sort(by_x.begin(), by_x.end(), [&](auto a, auto b) { return holes[a].centre.x < holes[b].centre.x; });
    std::vector<bool> meets(holes.size(), false);
    for (const Figure& f : open) {
        const Box box = bounding_box(f);
        const double reach = like.size;  // more than any corner
        auto k = std::lower_bound(by_x.begin(), by_x.end(), box.low.x - reach,
                                  [&](std::size_t hole, double x) { return holes[hole].centre.x < x; });
        for (; k != by_x.end() && holes[*k].centre.x <= box.high.x + reach; ++k) {
            const Point c = holes[*k].centre;
            if (meets[*k] || c.y < box.low.y - reach || c.y > box.high.y + reach) continue;
            meets[*k] = meet(like, corners, c, f);
        }
    }
    SplitHoles out;
    for (std::size_t k = 0; k < holes.size(); ++k) (meets[k] ? out.meeting : out.apart).push_back(holes[k]);
    return out;
}

}  // namespace tymbal
