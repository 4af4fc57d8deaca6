#include "tymbal/pattern/hole_sites.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <map>
#include <set>
#include <tuple>

namespace tymbal {

namespace {

constexpr int far = std::numeric_limits<int>::max();
constexpr int most_copies = 32'767;   // columns and rows are 16-bit numbers in GDSII
constexpr std::size_t least_row = 3;  // two sites alone are no row: a list of holes would fall into chance pairs

int snap(double units, int grid) {
    constexpr double ties = 1e-6;  // rounding errors of the sites' arithmetic must not part holes of one row
    return grid * static_cast<int>(std::floor(units / grid + 0.5 + ties));
}

/// Sites of one row at one distance.
struct Row {
    DrawnPoint first;
    int step = 0;
    int count = 1;
};

bool below(DrawnPoint a, DrawnPoint b) {
    return std::tie(a.y, a.x) < std::tie(b.y, b.x);
}

std::vector<Row> rows_of(std::vector<DrawnPoint> sites) {
    std::sort(sites.begin(), sites.end(), below);
    std::vector<Row> rows;
    for (std::size_t from = 0; from < sites.size();) {
        const DrawnPoint first = sites[from];
        std::size_t to = from + 1;
        const auto same_row = [&](std::size_t k) { return k < sites.size() && sites[k].y == first.y; };
        const int step = same_row(to) ? sites[to].x - first.x : 0;
        while (same_row(to) && sites[to].x - sites[to - 1].x == step && to - from < most_copies) ++to;
        if (to - from < least_row) to = from + 1;
        const int count = static_cast<int>(to - from);
        rows.push_back({first, count > 1 ? step : 0, count});
        from = to;
    }
    return rows;
}

/// Equal rows, sorted by height, at one distance.
void stack(const Row& row, const std::vector<int>& heights, std::size_t cell, std::vector<Placement>& into) {
    const std::size_t least = row.count == 1 ? least_row : 2;
    for (std::size_t from = 0; from < heights.size();) {
        std::size_t to = from + 1;
        const int step = to < heights.size() ? heights[to] - heights[from] : 0;
        while (to < heights.size() && heights[to] - heights[to - 1] == step && to - from < most_copies) ++to;
        if (to - from < least) to = from + 1;
        const int count = static_cast<int>(to - from);
        into.push_back(
            {cell, {row.first.x, heights[from]}, row.count, count, {row.step, 0}, {0, count > 1 ? step : 0}});
        from = to;
    }
}

/// Sites sorted into squares of a side that no close pair exceeds.
class Squares {
public:
    Squares(const std::vector<DrawnPoint>& sites, double side) : side_(side) {
        for (const DrawnPoint p : sites) entries_.push_back({row(p.y), row(p.x), p});
        std::sort(entries_.begin(), entries_.end(),
                  [](const Entry& a, const Entry& b) { return std::tie(a.y, a.x) < std::tie(b.y, b.x); });
    }

    /// Offsets between sites in the same or neighbouring squares, each direction once.
    [[nodiscard]] std::set<std::array<long, 2>> offsets() const {
        std::set<std::array<long, 2>> all;
        for (std::size_t k = 0; k < entries_.size(); ++k) {
            const Entry& e = entries_[k];
            for (std::size_t j = k + 1; j < entries_.size() && entries_[j].y == e.y && entries_[j].x <= e.x + 1; ++j)
                add(e.at, entries_[j].at, all);
            auto other = std::lower_bound(entries_.begin(), entries_.end(), std::pair(e.y + 1, e.x - 1),
                                          [](const Entry& a, const std::pair<long, long>& b) {
                                              return std::tie(a.y, a.x) < std::tie(b.first, b.second);
                                          });
            for (; other != entries_.end() && other->y == e.y + 1 && other->x <= e.x + 1; ++other)
                add(e.at, other->at, all);
        }
        return all;
    }

private:
    struct Entry {
        long y, x;
        DrawnPoint at;
    };
    [[nodiscard]] long row(int v) const { return static_cast<long>(std::floor(v / side_)); }
    static void add(DrawnPoint a, DrawnPoint b, std::set<std::array<long, 2>>& all) {
        const long x = static_cast<long>(b.x) - a.x, y = static_cast<long>(b.y) - a.y;
        all.insert(y < 0 || (y == 0 && x < 0) ? std::array{-x, -y} : std::array{x, y});
    }

    double side_;
    std::vector<Entry> entries_;
};

double length(const std::array<long, 2>& offset) {
    return std::hypot(static_cast<double>(offset[0]), static_cast<double>(offset[1]));
}

/// Offset between the two closest centres: a sweep along x that keeps only sites which can still belong to the pair.
std::array<long, 2> closest_pair(std::vector<DrawnPoint> sites) {
    std::sort(sites.begin(), sites.end(),
              [](DrawnPoint a, DrawnPoint b) { return std::tie(a.x, a.y) < std::tie(b.x, b.y); });
    std::set<std::pair<int, int>> near;  // y, x
    std::array<long, 2> best{far, 0};
    std::size_t oldest = 0;
    for (const DrawnPoint p : sites) {
        const double reach = length(best);
        for (; sites[oldest].x < p.x - reach; ++oldest) near.erase({sites[oldest].y, sites[oldest].x});
        const int low = static_cast<int>(std::max(std::floor(p.y - reach), -1.0 * far));
        for (auto q = near.lower_bound({low, -far}); q != near.end() && q->first <= p.y + reach; ++q) {
            const std::array<long, 2> offset{static_cast<long>(p.x) - q->second, static_cast<long>(p.y) - q->first};
            if (length(offset) < length(best)) best = offset;
        }
        near.insert({p.y, p.x});
    }
    return best;
}

double reach_of(const HoleFigure& figure) {
    double reach = 0.0;
    for (const DrawnPoint p : figure.corners)
        reach = std::max(reach, std::hypot(p.x - figure.centre_x, p.y - figure.centre_y));
    return reach;
}

}  // namespace

DrawnSites snap_sites(const std::vector<Hole>& holes, const HoleFigure& figure, int grid) {
    DrawnSites drawn;
    drawn.sites.reserve(holes.size());
    for (const Hole& hole : holes) {
        const double x = hole.centre.x / drawn_unit_m, y = hole.centre.y / drawn_unit_m;
        const DrawnPoint at{snap(x - figure.centre_x, grid), snap(y - figure.centre_y, grid)};
        const double shift = std::hypot(at.x + figure.centre_x - x, at.y + figure.centre_y - y);
        drawn.largest_shift_m = std::max(drawn.largest_shift_m, drawn_unit_m * shift);
        drawn.sites.push_back(at);
    }
    return drawn;
}

std::vector<Placement> gather(std::vector<DrawnPoint> sites, std::size_t cell) {
    std::map<std::tuple<int, int, int>, std::vector<int>> equal_rows;  // by first x, step and count: heights
    for (const Row& row : rows_of(std::move(sites)))
        equal_rows[{row.first.x, row.step, row.count}].push_back(row.first.y);
    std::vector<Placement> placements;
    for (const auto& [key, heights] : equal_rows) {
        const auto& [x, step, count] = key;
        stack({{x, heights.front()}, step, count}, heights, cell, placements);
    }
    return placements;
}

double least_gap_m(const HoleFigure& figure, const std::vector<DrawnPoint>& sites) {
    double least = std::numeric_limits<double>::infinity();
    if (sites.size() < 2) return least;
    const double reach = reach_of(figure);
    const std::array<long, 2> closest = closest_pair(sites);
    least = drawn_gap_m(figure, static_cast<double>(closest[0]), static_cast<double>(closest[1]));
    if (least <= 0.0) return least;
    // A pair with a smaller gap has its centres closer than that gap and both figures' reach; as these two do not meet,
    // no more than a few others lie that close to any hole.
    const std::set<std::array<long, 2>> offsets = Squares(sites, least / drawn_unit_m + 2.0 * reach).offsets();
    std::vector<std::array<long, 2>> by_length(offsets.begin(), offsets.end());
    std::sort(by_length.begin(), by_length.end(), [](const auto& a, const auto& b) { return length(a) < length(b); });
    for (const auto& offset : by_length) {
        if (drawn_unit_m * (length(offset) - 2.0 * reach) >= least) break;
        least = std::min(least, drawn_gap_m(figure, static_cast<double>(offset[0]), static_cast<double>(offset[1])));
    }
    return least;
}

}  // namespace tymbal
