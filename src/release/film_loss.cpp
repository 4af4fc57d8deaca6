#include "tymbal/release/film_loss.h"

#include "tymbal/geometry/boundary.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace tymbal {

namespace {

constexpr int intervals = 8;

double area_of_holes(const PlacedHoles& holes) {
    const double unit = holes.shape == HoleShape::circle ? 0.25 * std::acos(-1.0) * holes.size * holes.size
                                                         : polygon_area(figure(holes.shape, holes.size));
    return unit * static_cast<double>(holes.centres.size());
}

/// Distance of the two nearest centres.
double nearest_pair(std::vector<Point> centres) {
    std::sort(centres.begin(), centres.end(), [](Point a, Point b) { return a.x < b.x; });
    double nearest = std::numeric_limits<double>::infinity();
    for (std::size_t k = 0; k < centres.size(); ++k)
        for (std::size_t m = k + 1; m < centres.size() && centres[m].x - centres[k].x < nearest; ++m)
            nearest = std::min(nearest, std::hypot(centres[m].x - centres[k].x, centres[m].y - centres[k].y));
    return nearest;
}

/// Area within `undercut` of the holes, themselves included; while no two fronts can meet, all holes count alike.
double area_set_free(const PlacedHoles& holes, double undercut, double nearest) {
    double corner = holes.shape == HoleShape::circle ? 0.5 * holes.size : 0.0;
    for (const Point& p : figure(holes.shape, holes.size)) corner = std::max(corner, std::hypot(p.x, p.y));
    if (2.0 * (corner + undercut) >= nearest) return area(front(holes, undercut));
    const PlacedHoles one{holes.shape, holes.size, holes.angle_rad, {{0.0, 0.0}}};
    return static_cast<double>(holes.centres.size()) * area(front(one, undercut));
}

/// Mean time since the front has passed, over the film that is free at the end.
double mean_exposure(const PlacedHoles& holes, const EtchPair& pair, double undercut) {
    const double open = area_of_holes(holes);
    const double step = undercut / intervals, nearest = nearest_pair(holes.centres);
    const auto delay = [&](double u) {  // dt/du
        const double h = 1e-3 * step;
        return (time_for(pair, u + h) - time_for(pair, std::max(0.0, u - h))) / (u > h ? 2.0 * h : h + u);
    };
    double sum = 0.0, free = 0.0;
    for (int k = 0; k <= intervals; ++k) {
        const double u = k * step;
        free = k == 0 ? 0.0 : area_set_free(holes, u, nearest) - open;
        const double weight = k == 0 || k == intervals ? 1.0 : (k % 2 == 1 ? 4.0 : 2.0);
        sum += weight * free * delay(u);
    }
    return sum * step / 3.0 / free;
}

}  // namespace

FilmLoss film_loss(const PlacedHoles& holes, const EtchPair& pair, double undercut, bool time_known) {
    FilmLoss loss;
    if (!pair.film) return loss;
    const double rate = pair.film->si();
    loss.above = loss.below_at_holes = rate * time_for(pair, undercut);
    loss.below_mean = rate * mean_exposure(holes, pair, undercut);
    loss.relative_spread = std::hypot(pair.film->deviation_si() / rate, time_known ? 0.0 : pair.sacrificial_spread());
    return loss;
}

}  // namespace tymbal
