#include "cell.h"

#include "tymbal/geometry/lattice.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace tymbal::fourier {

namespace {

constexpr double slack = 1e-9;  // relative to a period: rounding of turned coordinates

Point operator+(Point a, Point b) {
    return {a.x + b.x, a.y + b.y};
}
Point operator-(Point a, Point b) {
    return {a.x - b.x, a.y - b.y};
}
Point operator*(double k, Point a) {
    return {k * a.x, k * a.y};
}
double cross(Point a, Point b) {
    return a.x * b.y - a.y * b.x;
}

Point turned(Point p, double angle) {
    const double c = std::cos(angle), s = std::sin(angle);
    return {c * p.x - s * p.y, s * p.x + c * p.y};
}

/// Is the vector a sum of whole periods?
bool is_period(const Cell& cell, Point p) {
    const double det = cross(cell.first, cell.second);
    const double i = cross(p, cell.second) / det, j = cross(cell.first, p) / det;
    return std::abs(i - std::round(i)) < slack && std::abs(j - std::round(j)) < slack;
}

bool same_figure(const std::vector<Point>& one, const std::vector<Point>& other, double size) {
    return std::all_of(one.begin(), one.end(), [&](Point p) {
        return std::any_of(other.begin(), other.end(),
                           [&](Point q) { return std::hypot(p.x - q.x, p.y - q.y) < slack * size; });
    });
}

/// Half the width of the figure in units of its own: below 1 inside, 1 on its edge.
double growth_to_reach(const Cell& cell, Point p) {
    const std::vector<Point> figure = corners(cell);
    if (figure.empty()) return std::hypot(p.x, p.y) / (0.5 * cell.size);
    double growth = 0.0;
    for (std::size_t k = 0; k < figure.size(); ++k) {
        const Point a = figure[k], edge = figure[(k + 1) % figure.size()] - a;
        growth = std::max(growth, cross(p, edge) / cross(a, edge));
    }
    return growth;
}

}  // namespace

Cell cell_of(Lattice lattice, HoleShape shape, double pitch, double size) {
    const double root3 = std::sqrt(3.0);
    switch (lattice) {
        case Lattice::square: return {{pitch, 0.0}, {0.0, pitch}, {{0.0, 0.0}}, shape, size, 0.0, pitch};
        case Lattice::triangular:
            return {{pitch, 0.0}, {0.5 * pitch, 0.5 * root3 * pitch}, {{0.0, 0.0}}, shape, size, 0.0, pitch};
        case Lattice::honeycomb:  // the origin halves a line between neighbours
            return {{root3 * pitch, 0.0},
                    {0.5 * root3 * pitch, 1.5 * pitch},
                    {{0.0, -0.5 * pitch}, {0.0, 0.5 * pitch}},
                    shape,
                    size,
                    0.0,
                    pitch};
        case Lattice::list: break;
    }
    throw std::logic_error("cell_of: a list of holes has no unit cell");
}

Cell turned(const Cell& cell, double angle) {
    Cell out = cell;
    out.first = turned(cell.first, angle);
    out.second = turned(cell.second, angle);
    for (Point& centre : out.centres) centre = turned(centre, angle);
    out.turn += angle;
    return out;
}

std::vector<Point> corners(const Cell& cell) {
    std::vector<Point> out = figure(cell.shape, cell.size);
    for (Point& corner : out) corner = turned(corner, cell.turn);
    return out;
}

bool unchanged(const Cell& cell, bool flip_x, bool flip_y) {
    const auto image = [&](Point p) { return Point{flip_x ? -p.x : p.x, flip_y ? -p.y : p.y}; };
    std::vector<Point> figure = corners(cell), flipped;
    for (const Point p : figure) flipped.push_back(image(p));
    const bool holes_meet = std::all_of(cell.centres.begin(), cell.centres.end(), [&](Point c) {
        return std::any_of(cell.centres.begin(), cell.centres.end(),
                           [&](Point other) { return is_period(cell, image(c) - other); });
    });
    return holes_meet && is_period(cell, image(cell.first)) && is_period(cell, image(cell.second)) &&
           same_figure(figure, flipped, cell.size);
}

double growth_until_touching(const Cell& cell) {
    constexpr int far = 2;  // periods; nearer neighbours decide
    double least = 1e300;
    for (int i = -far; i <= far; ++i)
        for (int j = -far; j <= far; ++j)
            for (const Point a : cell.centres)
                for (const Point b : cell.centres) {
                    const Point away =
                        static_cast<double>(i) * cell.first + static_cast<double>(j) * cell.second + b - a;
                    if (std::hypot(away.x, away.y) > slack * cell.pitch)
                        least = std::min(least, 0.5 * growth_to_reach(cell, away));
                }
    return least;
}

double area(const Cell& cell) {
    return std::abs(cross(cell.first, cell.second));
}

}  // namespace tymbal::fourier
