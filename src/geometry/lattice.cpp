#include "tymbal/geometry/lattice.h"

#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <set>
#include <stdexcept>

namespace tymbal {

namespace {

constexpr std::size_t most_holes = 1'000'000;

struct Basis {
    Point first, second;       ///< lattice vectors in units of the pitch, unturned
    std::vector<Point> sites;  ///< in a lattice cell
};

Basis basis_of(Lattice lattice) {
    const double root3 = std::sqrt(3.0);
    switch (lattice) {
        case Lattice::square: return {{1, 0}, {0, 1}, {{0, 0}}};
        case Lattice::triangular: return {{1, 0}, {0.5, 0.5 * root3}, {{0, 0}}};
        case Lattice::honeycomb: return {{root3, 0}, {0.5 * root3, 1.5}, {{0, 0}, {0.5 * root3, 0.5}}};
        case Lattice::list: break;
    }
    throw std::logic_error("basis_of: a list of holes has no lattice");
}

Point turned(Point p, double angle) {
    const double c = std::cos(angle), s = std::sin(angle);
    return {c * p.x - s * p.y, s * p.x + c * p.y};
}

/// Is the hole's edge everywhere at least `margin` inside the rim, and inside the field's box?
class Fits {
public:
    Fits(const HolePattern& pattern, const Boundary& rim)
        : rim_(rim), margin_(pattern.margin.si()), radius_(0.5 * pattern.size.si()) {
        for (const Point& p : figure(pattern.shape, pattern.size.si()))
            corners_.push_back(turned(p, pattern.angle_rad));
        if (pattern.field) half_ = {0.5 * (*pattern.field)[0].si(), 0.5 * (*pattern.field)[1].si()};
    }
    [[nodiscard]] bool operator()(Point c) const {
        constexpr double slack = 1e-9;  // relative to the hole: a drawn field of exactly n pitches holds n + 1 holes
        const double room = slack * radius_;
        if (corners_.empty()) {
            if (half_.x > 0.0 &&
                !(std::abs(c.x) + radius_ <= half_.x + room && std::abs(c.y) + radius_ <= half_.y + room))
                return false;
            return signed_distance(rim_, c) - radius_ >= margin_ - room;
        }
        return std::all_of(corners_.begin(), corners_.end(), [&](const Point& k) {
            const Point p{c.x + k.x, c.y + k.y};
            if (half_.x > 0.0 && !(std::abs(p.x) <= half_.x + room && std::abs(p.y) <= half_.y + room)) return false;
            return signed_distance(rim_, p) >= margin_ - room;
        });
    }

private:
    const Boundary& rim_;
    double margin_;
    double radius_;
    Point half_{};
    std::vector<Point> corners_;
};

std::vector<Hole> listed(const HolePattern& pattern) {
    std::vector<Hole> holes;
    for (const Point& c : pattern.centres) holes.push_back({c, false});
    return holes;
}

/// Range of lattice indices that can reach a point of the box.
std::array<int, 4> index_range(const Box& box, Point a, Point b) {
    const double det = a.x * b.y - a.y * b.x;
    std::array<double, 4> range{1e300, -1e300, 1e300, -1e300};
    for (const double x : {box.low.x, box.high.x}) {
        for (const double y : {box.low.y, box.high.y}) {
            const double i = (x * b.y - y * b.x) / det;
            const double j = (a.x * y - a.y * x) / det;
            range = {std::min(range[0], i), std::max(range[1], i), std::min(range[2], j), std::max(range[3], j)};
        }
    }
    return {static_cast<int>(std::floor(range[0])) - 1, static_cast<int>(std::ceil(range[1])) + 1,
            static_cast<int>(std::floor(range[2])) - 1, static_cast<int>(std::ceil(range[3])) + 1};
}

}  // namespace

std::vector<Hole> place_holes(const HolePattern& pattern, const Boundary& rim) {
    if (pattern.lattice == Lattice::list) return listed(pattern);
    const Basis basis = basis_of(pattern.lattice);
    const double pitch = pattern.pitch.si();
    const auto vector = [&](Point p) { return turned({pitch * p.x, pitch * p.y}, pattern.angle_rad); };
    const Point a = vector(basis.first), b = vector(basis.second);
    const auto [i0, i1, j0, j1] = index_range(bounding_box(rim), a, b);
    if ((i1 - i0 + 1.0) * (j1 - j0 + 1.0) > 4.0 * most_holes)
        throw NoAnswer("the pattern has more than a million holes; use a larger pitch or a smaller outline");
    const std::set<std::array<int, 2>> omitted(pattern.omit.begin(), pattern.omit.end());
    const Fits fits(pattern, rim);
    std::vector<Hole> holes;
    for (int j = j0; j <= j1; ++j) {
        for (int i = i0; i <= i1; ++i) {
            if (omitted.count({i, j}) > 0) continue;
            for (std::size_t s = 0; s < basis.sites.size(); ++s) {
                const Point site = vector(basis.sites[s]);
                const Point c{i * a.x + j * b.x + site.x, i * a.y + j * b.y + site.y};
                if (fits(c)) holes.push_back({c, s == 1});
            }
        }
    }
    if (holes.empty())
        throw NoAnswer(
            "not one whole hole fits inside the outline with its margin; reduce holes.margin or the hole's size");
    return holes;
}

std::vector<Hole> place_holes(const HolePattern& pattern) {
    if (pattern.lattice == Lattice::list) return listed(pattern);
    HolePattern unmargined = pattern;
    unmargined.margin = Length{};
    const Source source{"extent of the hole field", Origin::design};
    const auto side = [&](std::size_t k) { return Sourced<Length>(pattern.field->at(k), Length{}, source); };
    return place_holes(unmargined, boundary(Rectangle{side(0), side(1), Length{}}));
}

std::vector<Point> figure(HoleShape shape, double size) {
    const double half = 0.5 * size;
    switch (shape) {
        case HoleShape::circle: return {};
        case HoleShape::square: return {{-half, -half}, {half, -half}, {half, half}, {-half, half}};
        case HoleShape::hexagon: {  // two sides along the first lattice direction
            const double reach = size / std::sqrt(3.0);
            std::vector<Point> corners;
            for (int k = 0; k < 6; ++k) {
                const double angle = constants::pi / 3.0 * k;
                corners.push_back({reach * std::cos(angle), reach * std::sin(angle)});
            }
            return corners;
        }
    }
    throw std::logic_error("figure: unhandled hole shape");
}

std::vector<Point> own_cell(const HolePattern& pattern, const Hole& hole) {
    const double pitch = pattern.pitch.si();
    const auto around = [&](int sides, double reach, double first) {
        std::vector<Point> corners;
        for (int k = 0; k < sides; ++k) {
            const double angle = pattern.angle_rad + first + 2.0 * constants::pi / sides * k;
            corners.push_back({hole.centre.x + reach * std::cos(angle), hole.centre.y + reach * std::sin(angle)});
        }
        return corners;
    };
    const double pi = constants::pi;
    switch (pattern.lattice) {
        case Lattice::square: return around(4, pitch / std::sqrt(2.0), 0.25 * pi);
        case Lattice::triangular: return around(6, pitch / std::sqrt(3.0), pi / 6.0);
        case Lattice::honeycomb: return around(3, pitch, hole.second ? pi / 6.0 : 0.5 * pi);
        case Lattice::list: break;
    }
    throw std::logic_error("own_cell: a list of holes has no lattice");
}

std::vector<Point> clip(std::vector<Point> polygon, const Box& box) {
    // Sutherland and Hodgman: one side of the box after the other. Most polygons reach past one side only.
    const auto cut = [&](auto inside, auto where) {
        if (std::all_of(polygon.begin(), polygon.end(), inside)) return;
        std::vector<Point> kept;
        kept.reserve(polygon.size() + 1);
        for (std::size_t k = 0; k < polygon.size(); ++k) {
            const Point a = polygon[k], b = polygon[(k + 1) % polygon.size()];
            if (inside(a)) kept.push_back(a);
            if (inside(a) != inside(b)) kept.push_back(where(a, b));
        }
        polygon = std::move(kept);
    };
    const auto at_x = [](double x) {
        return [x](Point a, Point b) { return Point{x, a.y + (x - a.x) / (b.x - a.x) * (b.y - a.y)}; };
    };
    const auto at_y = [](double y) {
        return [y](Point a, Point b) { return Point{a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x), y}; };
    };
    cut([&](Point p) { return p.x >= box.low.x; }, at_x(box.low.x));
    cut([&](Point p) { return p.x <= box.high.x; }, at_x(box.high.x));
    cut([&](Point p) { return p.y >= box.low.y; }, at_y(box.low.y));
    cut([&](Point p) { return p.y <= box.high.y; }, at_y(box.high.y));
    return polygon;
}

double polygon_area(const std::vector<Point>& polygon) {
    double twice = 0.0;
    for (std::size_t k = 0; k < polygon.size(); ++k) {
        const Point a = polygon[k], b = polygon[(k + 1) % polygon.size()];
        twice += a.x * b.y - b.x * a.y;
    }
    return 0.5 * twice;
}

}  // namespace tymbal
