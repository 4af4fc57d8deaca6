// Which points lie near a place: a square raster of buckets.
#pragma once

#include "tymbal/geometry/edge.h"

#include <algorithm>
#include <cstddef>
#include <utility>
#include <vector>

namespace tymbal {

class HoleIndex {
public:
    /// @param reach  width of the buckets, m; about the distance that will be asked for
    HoleIndex(const std::vector<Point>& points, double reach);

    /// Calls take(k) for all points in the ring of buckets at Chebyshev distance `ring` round p's bucket; false when
    /// the ring lies wholly outside the raster.
    template <class Take>
    bool ring(Point p, int ring, Take&& take) const;

    /// Calls take(k) for every point within `distance` of p, and some beyond, until it returns false.
    template <class Take>
    void near(Point p, double distance, Take&& take) const;

    [[nodiscard]] double width() const { return width_; }

private:
    [[nodiscard]] int column(double x) const;
    [[nodiscard]] int row(double y) const;
    /// @returns the numbers of the points in a bucket, first and one past the last, in `members_`
    [[nodiscard]] std::pair<std::size_t, std::size_t> bucket(int i, int j) const;

    double x0_ = 0.0, y0_ = 0.0, width_ = 1.0;
    int columns_ = 1, rows_ = 1;
    std::vector<std::size_t> first_;    ///< of each bucket in `members_`, one more at the end
    std::vector<std::size_t> members_;  ///< numbers of points, by bucket
};

inline std::pair<std::size_t, std::size_t> HoleIndex::bucket(int i, int j) const {
    if (i < 0 || j < 0 || i >= columns_ || j >= rows_) return {0, 0};
    const auto b = static_cast<std::size_t>(i) + static_cast<std::size_t>(columns_) * static_cast<std::size_t>(j);
    return {first_[b], first_[b + 1]};
}

template <class Take>
bool HoleIndex::ring(Point p, int ring, Take&& take) const {
    const int ci = column(p.x), cj = row(p.y);
    if (ci - ring < 0 && cj - ring < 0 && ci + ring >= columns_ && cj + ring >= rows_) return false;
    const auto all_of = [&](int i, int j) {
        const auto [from, to] = bucket(i, j);
        for (std::size_t m = from; m < to; ++m) take(members_[m]);
    };
    for (int i = ci - ring; i <= ci + ring; ++i) {
        all_of(i, cj - ring);
        if (ring > 0) all_of(i, cj + ring);
    }
    for (int j = cj - ring + 1; j < cj + ring; ++j) {
        all_of(ci - ring, j);
        all_of(ci + ring, j);
    }
    return true;
}

template <class Take>
void HoleIndex::near(Point p, double distance, Take&& take) const {
    const int i0 = std::max(0, column(p.x - distance)), i1 = std::min(columns_ - 1, column(p.x + distance));
    const int j0 = std::max(0, row(p.y - distance)), j1 = std::min(rows_ - 1, row(p.y + distance));
    for (int j = j0; j <= j1; ++j) {
        for (int i = i0; i <= i1; ++i) {
            const auto [from, to] = bucket(i, j);
            for (std::size_t m = from; m < to; ++m)
                if (!take(members_[m])) return;
        }
    }
}

}  // namespace tymbal
