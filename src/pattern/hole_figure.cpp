#include "tymbal/pattern/hole_figure.h"

#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"
#include "tymbal/geometry/lattice.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <stdexcept>

namespace tymbal {

namespace {

constexpr double most_size_change = 0.2;  // beyond it the grid decides the size, not the design

/// Corners in half steps of the address grid about the figure's centre, so that a centre between grid points is exact.
using HalfSteps = std::vector<std::array<long, 2>>;

/// The even figure has its centre on a grid point (corners at even half steps), the odd one between four of them.
long snap(double grid_steps, bool odd) {
    const double size = std::abs(grid_steps);
    const long half_steps = odd ? 2 * static_cast<long>(std::floor(size)) + 1 : 2 * std::lround(size);
    return grid_steps < 0.0 ? -half_steps : half_steps;
}

long cross(const std::array<long, 2>& o, const std::array<long, 2>& a, const std::array<long, 2>& b) {
    return (a[0] - o[0]) * (b[1] - o[1]) - (a[1] - o[1]) * (b[0] - o[0]);
}

/// Convex hull, counter-clockwise, without corners on straight edges (Andrew's monotone chain).
HalfSteps hull(HalfSteps points) {
    std::sort(points.begin(), points.end());
    points.erase(std::unique(points.begin(), points.end()), points.end());
    HalfSteps chain;
    const auto add = [&chain](const std::array<long, 2>& p, std::size_t least) {
        while (chain.size() >= least + 2 && cross(chain[chain.size() - 2], chain.back(), p) <= 0) chain.pop_back();
        chain.push_back(p);
    };
    for (const auto& p : points) add(p, 0);
    const std::size_t lower = chain.size() - 1;
    for (std::size_t k = points.size() - 1; k-- > 0;) add(points[k], lower);
    if (chain.size() > 1) chain.pop_back();
    return chain;
}

double area_of(const HalfSteps& corners) {
    long twice = 0;
    for (std::size_t k = 0; k < corners.size(); ++k) {
        const auto &a = corners[k], &b = corners[(k + 1) % corners.size()];
        twice += a[0] * b[1] - b[0] * a[1];
    }
    return 0.5 * static_cast<double>(twice);
}

/// Edge of an n-gon departs from its circle by R pi^2/(2 n^2) in all: half a grid step at most.
int corner_count(double radius_steps, int more, int most) {
    const int wanted = more + 8 * static_cast<int>(std::ceil(constants::pi * std::sqrt(radius_steps) / 8.0 - 1e-9));
    return std::clamp(wanted, 8, std::max(8, most / 8 * 8));
}

/// An eighth of the circle's polygon and its mirror images: the figure is symmetric to the last bit.
std::vector<Point> round_corners(double radius_steps, int n) {
    const double turn = 2.0 * constants::pi / n;
    const double reach = radius_steps * std::sqrt(turn / std::sin(turn));  // n/2 reach^2 sin(turn) = pi radius^2
    std::vector<Point> corners;
    for (int k = 0; k < n / 8; ++k) {
        const double x = reach * std::cos((k + 0.5) * turn), y = reach * std::sin((k + 0.5) * turn);
        for (const Point p : {Point{x, y}, Point{y, x}})
            for (const double sx : {1.0, -1.0})
                for (const double sy : {1.0, -1.0}) corners.push_back({sx * p.x, sy * p.y});
    }
    return corners;
}

/// One half of the corners and their opposites.
std::vector<Point> straight_corners(const WantedHole& wanted, double width_steps) {
    const std::vector<Point> all = figure(wanted.shape, width_steps);
    const double c = std::cos(wanted.angle_rad), s = std::sin(wanted.angle_rad);
    std::vector<Point> corners;
    for (std::size_t k = 0; k < all.size() / 2; ++k) {
        const Point p{c * all[k].x - s * all[k].y, s * all[k].x + c * all[k].y};
        corners.push_back(p);
        corners.push_back({-p.x, -p.y});
    }
    return corners;
}

std::vector<Point> ideal_corners(const WantedHole& wanted, double width_steps, int more) {
    if (wanted.shape != HoleShape::circle) return straight_corners(wanted, width_steps);
    return round_corners(0.5 * width_steps, corner_count(0.5 * width_steps, more, wanted.most_corners));
}

/// Area over squared width.
double area_factor(HoleShape shape) {
    switch (shape) {
        case HoleShape::circle: return 0.25 * constants::pi;
        case HoleShape::square: return 1.0;
        case HoleShape::hexagon: return 0.5 * std::sqrt(3.0);
    }
    throw std::logic_error("area_factor: unhandled hole shape");
}

double distance_to_edge(Point a, Point b, Point p) {
    const double dx = b.x - a.x, dy = b.y - a.y;
    const double along = std::clamp(((p.x - a.x) * dx + (p.y - a.y) * dy) / (dx * dx + dy * dy), 0.0, 1.0);
    return std::hypot(p.x - a.x - along * dx, p.y - a.y - along * dy);
}

double departure_from_circle(const std::vector<Point>& corners, double radius) {
    double most = 0.0;
    for (std::size_t k = 0; k < corners.size(); ++k) {
        const Point a = corners[k], b = corners[(k + 1) % corners.size()];
        most = std::max(
            {most, std::abs(std::hypot(a.x, a.y) - radius), std::abs(radius - distance_to_edge(a, b, {0.0, 0.0}))});
    }
    return most;
}

struct Candidate {
    HalfSteps corners;
    bool odd = false;
    double error = std::numeric_limits<double>::infinity();  ///< of the area, in squared half steps, and of roundness
};

/// Area beyond what rounding needs: an edge that leaves the circle by more than half a step, all the way round, twice.
double out_of_round(const HalfSteps& corners, double radius) {
    constexpr double allowed = 0.9;  // half steps; at 1 a chamfered square of 8 steps would do
    std::vector<Point> points;
    for (const auto& c : corners) points.push_back({static_cast<double>(c[0]), static_cast<double>(c[1])});
    return 4.0 * constants::pi * radius * std::max(0.0, departure_from_circle(points, radius) - allowed);
}

Candidate candidate(const WantedHole& wanted, double width_steps, bool odd, int more) {
    Candidate c{{}, odd, 0.0};
    for (const Point p : ideal_corners(wanted, width_steps, more))
        c.corners.push_back({snap(p.x, odd), snap(p.y, odd)});
    c.corners = hull(std::move(c.corners));
    const double wanted_half_steps = 2.0 * wanted.width_m / (wanted.grid * drawn_unit_m);
    c.error = std::abs(area_of(c.corners) - area_factor(wanted.shape) * wanted_half_steps * wanted_half_steps);
    if (wanted.shape == HoleShape::circle) c.error += out_of_round(c.corners, 0.5 * wanted_half_steps);
    return c;
}

/// Sizes from the wanted one outwards in both directions up to half a step at each edge, so that the first of equals is
/// the closest; where the grid is coarse, eight corners more give other areas.
Candidate closest_in_area(const WantedHole& wanted) {
    constexpr int tries = 32;
    const double width_steps = wanted.width_m / (wanted.grid * drawn_unit_m);
    Candidate best;
    for (int k = 0; k <= 2 * tries; ++k) {
        const int size = (k + 1) / 2;
        const double change = (k % 2 == 0 ? 1.0 : -1.0) * size / tries;
        if (width_steps + change <= 0.0) continue;
        for (const int more : {0, 8})
            for (const bool odd : {false, true}) {
                Candidate c = candidate(wanted, width_steps + change, odd, more);
                if (c.corners.size() >= 4 && c.error < best.error * (1.0 - 1e-9)) best = std::move(c);
            }
    }
    return best;
}

/// Corners about the figure's centre, database units.
std::vector<Point> about_centre(const HoleFigure& f) {
    std::vector<Point> corners;
    for (const DrawnPoint p : f.corners) corners.push_back({p.x - f.centre_x, p.y - f.centre_y});
    return corners;
}

double least_width(const std::vector<Point>& corners) {
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t k = 0; k < corners.size(); ++k) {
        const Point a = corners[k], b = corners[(k + 1) % corners.size()];
        double widest = 0.0;
        for (const Point p : corners)
            widest = std::max(widest, ((b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x)));
        least = std::min(least, widest / std::hypot(b.x - a.x, b.y - a.y));
    }
    return least;
}

double departure_of_corners(const std::vector<Point>& corners, const std::vector<Point>& ideal) {
    double most = 0.0;
    for (const Point p : ideal) {
        double nearest = std::numeric_limits<double>::infinity();
        for (const Point q : corners) nearest = std::min(nearest, std::hypot(p.x - q.x, p.y - q.y));
        most = std::max(most, nearest);
    }
    return most;
}

}  // namespace

HoleFigure draw_hole(const WantedHole& wanted) {
    const double step_m = wanted.grid * drawn_unit_m;
    const Candidate best = closest_in_area(wanted);
    HoleFigure f;
    const int odd = best.odd ? 1 : 0;
    for (const auto& c : best.corners)
        f.corners.push_back(
            {static_cast<int>((c[0] - odd) / 2) * wanted.grid, static_cast<int>((c[1] - odd) / 2) * wanted.grid});
    f.centre_x = f.centre_y = -0.5 * odd * wanted.grid;
    const std::vector<Point> corners = about_centre(f);
    f.width_m = 0.5 * step_m * std::sqrt(area_of(best.corners) / area_factor(wanted.shape));
    if (!(std::abs(f.width_m - wanted.width_m) <= most_size_change * wanted.width_m))
        throw NoAnswer("the address grid is too coarse for the drawn hole; use a finer grid or larger holes");
    f.least_width_m = drawn_unit_m * least_width(corners);
    f.largest_departure_m =
        drawn_unit_m * (wanted.shape == HoleShape::circle
                            ? departure_from_circle(corners, 0.5 * wanted.width_m / drawn_unit_m)
                            : departure_of_corners(corners, straight_corners(wanted, wanted.width_m / drawn_unit_m)));
    return f;
}

double drawn_gap_m(const HoleFigure& figure, double x, double y) {
    const std::vector<Point> corners = about_centre(figure);
    double nearest = std::numeric_limits<double>::infinity();
    bool inside = true;
    for (std::size_t k = 0; k < corners.size(); ++k) {
        const Point a{2.0 * corners[k].x, 2.0 * corners[k].y};
        const Point end = corners[(k + 1) % corners.size()];
        const Point b{2.0 * end.x, 2.0 * end.y};
        inside = inside && (b.x - a.x) * (y - a.y) - (b.y - a.y) * (x - a.x) >= 0.0;
        nearest = std::min(nearest, distance_to_edge(a, b, {x, y}));
    }
    return drawn_unit_m * (inside ? -nearest : nearest);
}

}  // namespace tymbal
