#include "hole_index.h"

#include "tymbal/geometry/boundary.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

constexpr double most_buckets = 4e6;

}  // namespace

HoleIndex::HoleIndex(const std::vector<Point>& points, double reach) : width_(reach) {
    const auto [low, high] = bounding_box(points);
    x0_ = low.x;
    y0_ = low.y;
    // A few points far apart must not ask for a raster of empty buckets.
    width_ = std::max(width_, std::sqrt((high.x - low.x + reach) * (high.y - low.y + reach) / most_buckets));
    columns_ = column(high.x) + 1;
    rows_ = row(high.y) + 1;
    const auto buckets = static_cast<std::size_t>(columns_) * static_cast<std::size_t>(rows_);
    const auto bucket_of = [&](const Point& p) {
        return static_cast<std::size_t>(column(p.x)) +
               static_cast<std::size_t>(columns_) * static_cast<std::size_t>(row(p.y));
    };
    first_.assign(buckets + 1, 0);
    for (const Point& p : points) ++first_[bucket_of(p) + 1];
    for (std::size_t b = 0; b < buckets; ++b) first_[b + 1] += first_[b];
    members_.resize(points.size());
    std::vector<std::size_t> next(first_.begin(), first_.end() - 1);
    for (std::size_t k = 0; k < points.size(); ++k) members_[next[bucket_of(points[k])]++] = k;
}

int HoleIndex::column(double x) const {
    return static_cast<int>(std::clamp(std::floor((x - x0_) / width_), -1e6, 1e6));
}

int HoleIndex::row(double y) const {
    return static_cast<int>(std::clamp(std::floor((y - y0_) / width_), -1e6, 1e6));
}

}  // namespace tymbal
