#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"
#include "tymbal/mask/hole_file.h"
#include "tymbal/mask/read_gdsii.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace tymbal {

namespace {

constexpr double most_size_difference = 0.01;
constexpr double least_roundness =
    0.91;                               // 4 pi area / perimeter^2: octagon 0.948, coarsely snapped 0.911; hexagon 0.907
constexpr double most_ovalness = 0.05;  // difference of the second moments over their sum: 2.5 % in diameter
constexpr double most_corner_error = 0.1;

/// Moments of a polygon about its centroid.
struct Moments {
    Point centroid;
    double area = 0.0;  ///< positive whichever way the corners run
    double perimeter = 0.0;
    double xx = 0.0, yy = 0.0, xy = 0.0;
    bool star = true;  ///< seen from the centroid the corners go round once, so that the polygon cannot cross itself
};

double cross(Point a, Point b) {
    return a.x * b.y - b.x * a.y;
}

Point centroid_of(const std::vector<Point>& v) {
    // About the first corner: far from the origin the differences would drown.
    const Point o = v.front();
    double twice = 0.0;
    Point sum{};
    for (std::size_t k = 0; k < v.size(); ++k) {
        const Point e = v[(k + 1) % v.size()];
        const Point a{v[k].x - o.x, v[k].y - o.y}, b{e.x - o.x, e.y - o.y};
        const double c = cross(a, b);
        twice += c;
        sum = {sum.x + c * (a.x + b.x), sum.y + c * (a.y + b.y)};
    }
    if (twice == 0.0) return o;
    return {o.x + sum.x / (3.0 * twice), o.y + sum.y / (3.0 * twice)};
}

Moments moments_of(const std::vector<Point>& v) {
    Moments m;
    m.centroid = centroid_of(v);
    double signed_twice = 0.0, turned = 0.0;
    bool left = true, right = true;
    for (std::size_t k = 0; k < v.size(); ++k) {
        const Point e = v[(k + 1) % v.size()];
        const Point a{v[k].x - m.centroid.x, v[k].y - m.centroid.y}, b{e.x - m.centroid.x, e.y - m.centroid.y};
        const double c = cross(a, b);
        left = left && c > 0.0;
        right = right && c < 0.0;
        turned += std::atan2(c, a.x * b.x + a.y * b.y);
        signed_twice += c;
        m.perimeter += std::hypot(b.x - a.x, b.y - a.y);
        m.xx += c * (a.x * a.x + a.x * b.x + b.x * b.x) / 12.0;
        m.yy += c * (a.y * a.y + a.y * b.y + b.y * b.y) / 12.0;
        m.xy += c * (a.x * b.y + 2.0 * a.x * a.y + 2.0 * b.x * b.y + b.x * a.y) / 24.0;
    }
    m.area = 0.5 * std::abs(signed_twice);
    m.star = (left || right) && std::abs(std::abs(turned) - 2.0 * constants::pi) < 0.1;
    return m;
}

bool is_round(const Moments& m) {
    return m.star && 4.0 * constants::pi * m.area >= least_roundness * m.perimeter * m.perimeter &&
           std::hypot(m.xx - m.yy, 2.0 * m.xy) <= most_ovalness * std::abs(m.xx + m.yy);
}

/// Corners all equally far from the centroid and equally spaced about it, as a regular polygon of so many has them.
bool is_regular(const std::vector<Point>& v, const Moments& m, std::size_t count) {
    if (!m.star || v.size() != count) return false;
    const double n = static_cast<double>(count);
    const double reach = std::sqrt(2.0 * m.area / (n * std::sin(2.0 * constants::pi / n)));
    const double side = 2.0 * reach * std::sin(constants::pi / n);
    for (std::size_t k = 0; k < count; ++k) {
        const Point e = v[(k + 1) % count];
        if (std::abs(std::hypot(v[k].x - m.centroid.x, v[k].y - m.centroid.y) - reach) > most_corner_error * reach ||
            std::abs(std::hypot(e.x - v[k].x, e.y - v[k].y) - side) > most_corner_error * side)
            return false;
    }
    return true;
}

struct Shape {
    Moments moments;
    double first_corner_rad = 0.0;  ///< direction of a corner from the centroid
};

std::size_t corners_of(HoleShape shape) {
    return shape == HoleShape::square ? 4 : 6;
}

Shape recognise(const GdsiiShape& shape, HoleShape wanted, const std::string& path) {
    const Moments m = moments_of(shape.corners);
    const bool sound = wanted == HoleShape::circle ? is_round(m) : is_regular(shape.corners, m, corners_of(wanted));
    if (!sound)
        throw InputError(
            {path, 0}, std::string("byte ").append(std::to_string(shape.at_byte)),
            std::string("a figure on the layer of the holes is no ")
                .append(wanted == HoleShape::circle   ? "circle: a polygon as round as an octagon is accepted"
                        : wanted == HoleShape::square ? "square"
                                                      : "regular hexagon")
                .append("; holes.shape says which figure the holes have"));
    return {m, std::atan2(shape.corners[0].y - m.centroid.y, shape.corners[0].x - m.centroid.x)};
}

double width_from_area(HoleShape shape, double area) {
    switch (shape) {
        case HoleShape::circle: return std::sqrt(4.0 * area / constants::pi);
        case HoleShape::square: return std::sqrt(area);
        case HoleShape::hexagon: return std::sqrt(2.0 * area / std::sqrt(3.0));
    }
    throw std::logic_error("width_from_area: unhandled hole shape");
}

/// Does a corner of the placed figure point where one of the pattern's figures does? A square's first corner lies at 45
/// degrees to the pattern's angle, a hexagon's at 0.
bool stands_at(double angle_rad, HoleShape shape, double corner_rad, const Similarity& placed) {
    if (shape == HoleShape::circle) return true;
    const double turn = 2.0 * constants::pi / static_cast<double>(corners_of(shape));
    const double wanted = angle_rad + (shape == HoleShape::square ? 0.5 * turn : 0.0);
    const double is = placed.turn_rad + (placed.mirrored ? -corner_rad : corner_rad);
    return std::abs(std::remainder(is - wanted, turn)) < most_corner_error;
}

}  // namespace

HoleFile parse_hole_gdsii(const std::string& bytes, const std::string& path, HoleShape shape, double angle_rad) {
    const GdsiiFigures figures = read_gdsii(bytes, path);
    std::vector<Shape> shapes;
    for (const GdsiiShape& s : figures.shapes) shapes.push_back(recognise(s, shape, path));
    HoleFile holes;
    for (const GdsiiCopy& copy : figures.copies) {
        const Shape& own = shapes[copy.shape];
        const auto refuse = [&](const char* message) {
            throw InputError({path, 0}, std::string("byte ").append(std::to_string(figures.shapes[copy.shape].at_byte)),
                             message);
        };
        const double width = width_from_area(shape, own.moments.area) * copy.placed.scale;
        if (!holes.drawn_width_m) holes.drawn_width_m = width;
        if (std::abs(width - *holes.drawn_width_m) > most_size_difference * *holes.drawn_width_m)
            refuse("a hole has another size than the first; all holes of a pattern have one size");
        if (!stands_at(angle_rad, shape, own.first_corner_rad, copy.placed))
            refuse("a hole is turned against holes.angle; all holes of a pattern stand at one angle");
        holes.centres.push_back(apply(copy.placed, own.moments.centroid));
    }
    return holes;
}

}  // namespace tymbal
