#include "tymbal/geometry/pillars.h"

#include "tymbal/base/constants.h"

#include "hole_index.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <map>
#include <numeric>

namespace tymbal {

namespace {

constexpr double same_distance = 1e-6;  // relative: holes of a lattice stand on common circles up to rounding
constexpr double window = 6.0;          // half-width of the box that cells are first cut from, in mean spacings
constexpr std::size_t nobody = static_cast<std::size_t>(-1);

/// Corner of a hole's Voronoi cell, and the neighbour across the side that begins there.
struct Corner {
    Point place;  ///< relative to the hole
    std::size_t across = nobody;
};
using VoronoiCell = std::vector<Corner>;

double farthest(const VoronoiCell& cell) {
    double most = 0.0;
    for (const Corner& c : cell) most = std::max(most, std::hypot(c.place.x, c.place.y));
    return most;
}

/// Keeps the part of the cell nearer to its own hole than to the neighbour at `to`.
void keep_nearer(VoronoiCell& cell, Point to, std::size_t neighbour) {
    const double half = 0.5 * (to.x * to.x + to.y * to.y);
    const auto excess = [&](const Corner& c) { return c.place.x * to.x + c.place.y * to.y - half; };
    if (std::none_of(cell.begin(), cell.end(), [&](const Corner& c) { return excess(c) > 0.0; })) return;
    VoronoiCell kept;
    for (std::size_t k = 0; k < cell.size(); ++k) {
        const Corner &a = cell[k], &b = cell[(k + 1) % cell.size()];
        const double ea = excess(a), eb = excess(b);
        const double t = ea / (ea - eb);
        const Point cut{a.place.x + t * (b.place.x - a.place.x), a.place.y + t * (b.place.y - a.place.y)};
        if (ea <= 0.0) {
            kept.push_back(a);
            if (eb > 0.0) kept.push_back({cut, neighbour});
        } else if (eb <= 0.0) {
            kept.push_back({cut, a.across});
        }
    }
    cell = std::move(kept);
}

VoronoiCell voronoi_cell(const std::vector<Point>& centres, std::size_t own, const HoleIndex& index, double extent) {
    VoronoiCell cell{{{-extent, -extent}, nobody},
                     {{extent, -extent}, nobody},
                     {{extent, extent}, nobody},
                     {{-extent, extent}, nobody}};
    const Point c = centres[own];
    std::vector<std::size_t> members;
    for (int ring = 0; (ring - 1) * index.width() < 2.0 * farthest(cell); ++ring) {
        members.clear();
        if (!index.ring(c, ring, [&](std::size_t k) { members.push_back(k); })) break;
        std::sort(members.begin(), members.end());
        for (const std::size_t k : members)
            if (k != own) keep_nearer(cell, {centres[k].x - c.x, centres[k].y - c.y}, k);
    }
    return cell;
}

/// Numbers of all holes at `distance` from the place; none when a hole is nearer than that.
std::vector<std::size_t> nearest_holes(const std::vector<Point>& centres, const HoleIndex& index, Point place,
                                       double distance) {
    std::vector<std::size_t> found;
    bool nearer = false;
    index.near(place, distance * (1.0 + same_distance), [&](std::size_t k) {
        const double here = std::hypot(centres[k].x - place.x, centres[k].y - place.y);
        nearer = here < distance * (1.0 - same_distance);
        if (here < distance * (1.0 + same_distance)) found.push_back(k);
        return !nearer;
    });
    if (nearer) return {};
    std::sort(found.begin(), found.end());
    return found;
}

/// Do the holes stand round the place, no half-plane through it free of them?
bool surrounded(const std::vector<Point>& centres, const std::vector<std::size_t>& holes, Point place) {
    std::vector<double> angles;
    for (const std::size_t k : holes) angles.push_back(std::atan2(centres[k].y - place.y, centres[k].x - place.x));
    std::sort(angles.begin(), angles.end());
    double widest = angles.front() + 2.0 * constants::pi - angles.back();
    for (std::size_t k = 0; k + 1 < angles.size(); ++k) widest = std::max(widest, angles[k + 1] - angles[k]);
    return widest < constants::pi * (1.0 + 1e-6);
}

double distance_to_nearest(const PlacedHoles& holes, const std::vector<std::size_t>& candidates, Point p) {
    double least = std::numeric_limits<double>::infinity();
    for (const std::size_t k : candidates) least = std::min(least, distance_to_hole(holes, holes.centres[k], p));
    return least;
}

/// The best of eight places at `step` round `from`, or `from` itself.
LastOxide best_around(const PlacedHoles& holes, const std::vector<std::size_t>& candidates, const LastOxide& from,
                      double step) {
    LastOxide best = from;
    for (int k = 0; k < 8; ++k) {
        const double angle = 0.25 * constants::pi * k;
        const Point p{from.place.x + step * std::cos(angle), from.place.y + step * std::sin(angle)};
        const double d = distance_to_nearest(holes, candidates, p);
        if (d > best.clears_at * (1.0 + 1e-12)) best = {p, d};
    }
    return best;
}

/// Climbs from the Voronoi vertex of the centres to the maximum of the distance from the figures' edges.
LastOxide climb(const PlacedHoles& holes, const std::vector<std::size_t>& candidates, Point start, double distance) {
    LastOxide best{start, distance_to_nearest(holes, candidates, start)};
    const double finest = same_distance * distance;
    for (double step = 0.1 * distance; step > finest;) {
        const LastOxide next = best_around(holes, candidates, best, step);
        if (next.clears_at == best.clears_at) step *= 0.5;
        best = next;
    }
    return best;
}

/// Climbs that are the same but for a shift are done once: a lattice has a handful of them.
class Climber {
public:
    Climber(const PlacedHoles& holes, const HoleIndex& index) : holes_(holes), index_(index) {}

    [[nodiscard]] LastOxide from(Point start, double distance) {
        const double range = 1.3 * distance + holes_.size;
        std::vector<std::size_t> candidates;
        std::vector<std::array<long long, 2>> key;
        index_.near(start, range, [&](std::size_t k) {
            const Point d{holes_.centres[k].x - start.x, holes_.centres[k].y - start.y};
            if (std::hypot(d.x, d.y) > range) return true;
            candidates.push_back(k);
            const double unit = same_distance * distance;
            key.push_back({std::llround(d.x / unit), std::llround(d.y / unit)});
            return true;
        });
        std::sort(key.begin(), key.end());
        const auto known = climbs_.find(key);
        if (known != climbs_.end())
            return {{start.x + known->second.place.x, start.y + known->second.place.y}, known->second.clears_at};
        const LastOxide top = climb(holes_, candidates, start, distance);
        climbs_[key] = {{top.place.x - start.x, top.place.y - start.y}, top.clears_at};
        return top;
    }

private:
    const PlacedHoles& holes_;
    const HoleIndex& index_;
    std::map<std::vector<std::array<long long, 2>>, LastOxide> climbs_;  ///< places relative to the start
};

/// Fronts that have met share a region: a forest of holes.
class Regions {
public:
    explicit Regions(std::size_t count) : parent_(count) { std::iota(parent_.begin(), parent_.end(), std::size_t{0}); }
    bool join(std::size_t a, std::size_t b) {
        a = root(a);
        b = root(b);
        parent_[std::max(a, b)] = std::min(a, b);
        return a != b;
    }

private:
    std::size_t root(std::size_t k) {
        while (parent_[k] != k) k = parent_[k] = parent_[parent_[k]];
        return k;
    }
    std::vector<std::size_t> parent_;
};

struct Link {
    double gap = 0.0;  ///< solid width between the two holes
    std::size_t a = 0, b = 0;
};

/// Solid width between two holes: figures are convex, so a corner of one of them is nearest to the other.
double gap_of(const PlacedHoles& holes, Point a, Point b) {
    if (holes.shape == HoleShape::circle) return std::hypot(b.x - a.x, b.y - a.y) - holes.size;
    const double c = std::cos(holes.angle_rad), s = std::sin(holes.angle_rad);
    double gap = std::numeric_limits<double>::infinity();
    for (const Point& k : figure(holes.shape, holes.size)) {
        const Point corner{c * k.x - s * k.y, s * k.x + c * k.y};
        gap = std::min({gap, distance_to_hole(holes, b, {a.x + corner.x, a.y + corner.y}),
                        distance_to_hole(holes, a, {b.x + corner.x, b.y + corner.y})});
    }
    return gap;
}

/// Half of the widest gap on the cheapest tree that joins all holes.
double merging_undercut(std::vector<Link> links, std::size_t count) {
    std::sort(links.begin(), links.end(), [](const Link& p, const Link& q) {
        return std::array<double, 3>{p.gap, static_cast<double>(p.a), static_cast<double>(p.b)} <
               std::array<double, 3>{q.gap, static_cast<double>(q.a), static_cast<double>(q.b)};
    });
    Regions regions(count);
    double widest = 0.0;
    for (const Link& link : links)
        if (regions.join(link.a, link.b)) widest = link.gap;
    return 0.5 * widest;
}

/// Voronoi cells of some of the holes, and what is read off their corners.
class Survey {
public:
    Survey(const PlacedHoles& holes, double spacing)
        : holes_(holes), all_(holes.centres, spacing), climber_(holes_, all_) {}

    /// Cells among the holes `members` inside boxes of half-width `extent`. Corners that lie within `known` of their
    /// hole along both axes are skipped. @returns the members whose cells reach the box
    std::vector<std::size_t> cells(const std::vector<std::size_t>& members, double spacing, double extent,
                                   double known) {
        std::vector<Point> centres;
        for (const std::size_t k : members) centres.push_back(holes_.centres[k]);
        const HoleIndex index(centres, spacing);
        std::vector<std::size_t> open;
        for (std::size_t m = 0; m < members.size(); ++m) {
            const VoronoiCell cell = voronoi_cell(centres, m, index, extent);
            bool closed = true;
            for (std::size_t c = 0; c < cell.size(); ++c) {
                const std::size_t before = cell[(c + cell.size() - 1) % cell.size()].across, after = cell[c].across;
                closed = closed && after != nobody;
                if (after != nobody && m < after) link(members[m], members[after]);
                const Point p = cell[c].place;
                if (before != nobody && after != nobody && std::max(std::abs(p.x), std::abs(p.y)) >= known)
                    take(members[m], p);
            }
            if (!closed) open.push_back(members[m]);
        }
        return open;
    }

    [[nodiscard]] Clearing result() {
        std::stable_sort(spots_.begin(), spots_.end(),
                         [](const LastOxide& a, const LastOxide& b) { return a.clears_at > b.clears_at; });
        return {spots_, merging_undercut(links_, holes_.centres.size())};
    }

private:
    void link(std::size_t a, std::size_t b) {
        links_.push_back({gap_of(holes_, holes_.centres[a], holes_.centres[b]), a, b});
    }

    /// Keeps a corner of a cell when its holes stand all round it; the first of them owns it.
    void take(std::size_t own, Point corner) {
        const Point c = holes_.centres[own];
        const Point place{c.x + corner.x, c.y + corner.y};
        const double distance = std::hypot(corner.x, corner.y);
        // Among all holes, not only among those that made the cell.
        const std::vector<std::size_t> around = nearest_holes(holes_.centres, all_, place, distance);
        if (around.empty() || around.front() != own || !surrounded(holes_.centres, around, place)) return;
        // Four holes on one circle give the same corner more than once.
        if (!spots_.empty() && std::hypot(last_.x - place.x, last_.y - place.y) < same_distance * distance) return;
        last_ = place;
        spots_.push_back(holes_.shape == HoleShape::circle ? LastOxide{place, distance - 0.5 * holes_.size}
                                                           : climber_.from(place, distance));
    }

    const PlacedHoles& holes_;
    HoleIndex all_;
    Climber climber_;
    std::vector<LastOxide> spots_;
    std::vector<Link> links_;
    Point last_;
};

}  // namespace

Clearing clearing(const PlacedHoles& holes) {
    const auto [low, high] = bounding_box(holes.centres);
    const double width = high.x - low.x + holes.size, height = high.y - low.y + holes.size;
    const double spacing = std::sqrt(width * height / static_cast<double>(holes.centres.size()));
    std::vector<std::size_t> members(holes.centres.size());
    std::iota(members.begin(), members.end(), std::size_t{0});
    Survey survey(holes, spacing);
    // Voids wider than the window, if there are any, lie between holes whose cells are open to it.
    const std::vector<std::size_t> open = survey.cells(members, spacing, window * spacing, 0.0);
    if (!open.empty()) (void)survey.cells(open, window * spacing, 2.0 * (width + height), window * spacing);
    return survey.result();
}

}  // namespace tymbal
