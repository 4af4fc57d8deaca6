#include "tymbal/pattern/hole_sites.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
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

bool alike(const Row& a, const Row& b) {
    return a.first.x == b.first.x && a.step == b.step && a.count == b.count;
}

/// Rows that are alike stand together, each kind by rising height.
void sort_alike(std::vector<Row>& rows) {
    std::sort(rows.begin(), rows.end(), [](const Row& a, const Row& b) {
        return std::tie(a.first.x, a.step, a.count, a.first.y) < std::tie(b.first.x, b.step, b.count, b.first.y);
    });
}

/// The next rows alike at one distance; returns the number of the row behind them.
std::size_t stack(const std::vector<Row>& rows, std::size_t from, std::size_t cell, std::vector<Placement>& into) {
    const Row& row = rows[from];
    const std::size_t least = row.count == 1 ? least_row : 2;
    const auto follows = [&](std::size_t k) { return k < rows.size() && alike(rows[k], row); };
    std::size_t to = from + 1;
    const int step = follows(to) ? rows[to].first.y - row.first.y : 0;
    while (follows(to) && rows[to].first.y - rows[to - 1].first.y == step && to - from < most_copies) ++to;
    if (to - from < least) to = from + 1;
    const int count = static_cast<int>(to - from);
    into.push_back({cell, row.first, row.count, count, {row.step, 0}, {0, count > 1 ? step : 0}});
    return to;
}

/// Sites sorted into squares of a side that no close pair exceeds.
class Squares {
public:
    Squares(const std::vector<DrawnPoint>& sites, double side) : side_(side) {
        for (const DrawnPoint p : sites) entries_.push_back({row(p.y), row(p.x), p});
        std::sort(entries_.begin(), entries_.end(),
                  [](const Entry& a, const Entry& b) { return std::tie(a.y, a.x) < std::tie(b.y, b.x); });
    }

    /// Calls visit(offset) for pairs of sites in the same or neighbouring squares, each pair once.
    template <class Visit>
    void for_each_offset(Visit visit) const {
        for (std::size_t k = 0; k < entries_.size(); ++k) {
            const Entry& e = entries_[k];
            for (std::size_t j = k + 1; j < entries_.size() && entries_[j].y == e.y && entries_[j].x <= e.x + 1; ++j)
                visit(offset(e.at, entries_[j].at));
            auto other =
                std::lower_bound(entries_.begin() + static_cast<long>(k), entries_.end(), std::pair(e.y + 1, e.x - 1),
                                 [](const Entry& a, const std::pair<long, long>& b) {
                                     return std::tie(a.y, a.x) < std::tie(b.first, b.second);
                                 });
            for (; other != entries_.end() && other->y == e.y + 1 && other->x <= e.x + 1; ++other)
                visit(offset(e.at, other->at));
        }
    }

private:
    struct Entry {
        long y, x;
        DrawnPoint at;
    };
    [[nodiscard]] long row(int v) const { return static_cast<long>(std::floor(v / side_)); }
    static std::array<long, 2> offset(DrawnPoint a, DrawnPoint b) {
        const long x = static_cast<long>(b.x) - a.x, y = static_cast<long>(b.y) - a.y;
        return y < 0 || (y == 0 && x < 0) ? std::array{-x, -y} : std::array{x, y};
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
    std::vector<Row> rows = rows_of(std::move(sites));
    sort_alike(rows);
    std::vector<Placement> placements;
    for (std::size_t from = 0; from < rows.size();) from = stack(rows, from, cell, placements);
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
    // A lattice has the same few offsets all over; a million single centres have few that could be the closest.
    std::set<std::array<long, 2>> seen;
    Squares(sites, least / drawn_unit_m + 2.0 * reach).for_each_offset([&](const std::array<long, 2>& offset) {
        if (drawn_unit_m * (length(offset) - 2.0 * reach) >= least || !seen.insert(offset).second) return;
        least = std::min(least, drawn_gap_m(figure, static_cast<double>(offset[0]), static_cast<double>(offset[1])));
    });
    return least;
}

}  // namespace tymbal
