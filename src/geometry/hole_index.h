// Which points lie near a place: a square raster of buckets.
#pragma once

#include "tymbal/geometry/edge.h"

#include <algorithm>
#include <cstddef>
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

    /// Calls take(k) for every point within `distance` of p, and some beyond.
    template <class Take>
    void near(Point p, double distance, Take&& take) const;

    [[nodiscard]] double width() const { return width_; }

private:
    [[nodiscard]] int column(double x) const;
    [[nodiscard]] int row(double y) const;
    template <class Take>
    void bucket(int i, int j, Take&& take) const;

    double x0_ = 0.0, y0_ = 0.0, width_ = 1.0;
    int columns_ = 1, rows_ = 1;
    std::vector<std::size_t> first_;    ///< of each bucket in `members_`, one more at the end
    std::vector<std::size_t> members_;  ///< numbers of points, by bucket
};

template <class Take>
void HoleIndex::bucket(int i, int j, Take&& take) const {
    if (i < 0 || j < 0 || i >= columns_ || j >= rows_) return;
    const auto b = static_cast<std::size_t>(i) + static_cast<std::size_t>(columns_) * static_cast<std::size_t>(j);
    for (std::size_t m = first_[b]; m < first_[b + 1]; ++m) take(members_[m]);
}

template <class Take>
bool HoleIndex::ring(Point p, int ring, Take&& take) const {
    const int ci = column(p.x), cj = row(p.y);
    if (ci - ring < 0 && cj - ring < 0 && ci + ring >= columns_ && cj + ring >= rows_) return false;
    for (int i = ci - ring; i <= ci + ring; ++i) {
        bucket(i, cj - ring, take);
        if (ring > 0) bucket(i, cj + ring, take);
    }
    for (int j = cj - ring + 1; j < cj + ring; ++j) {
        bucket(ci - ring, j, take);
        bucket(ci + ring, j, take);
    }
    return true;
}

template <class Take>
void HoleIndex::near(Point p, double distance, Take&& take) const {
    const int i0 = std::max(0, column(p.x - distance)), i1 = std::min(columns_ - 1, column(p.x + distance));
    const int j0 = std::max(0, row(p.y - distance)), j1 = std::min(rows_ - 1, row(p.y + distance));
    for (int j = j0; j <= j1; ++j)
        for (int i = i0; i <= i1; ++i) bucket(i, j, take);
}

}  // namespace tymbal
