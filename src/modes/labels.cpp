#include "tymbal/modes/labels.h"

#include "tymbal/base/constants.h"

#include "../base/in_parallel.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>
#include <utility>

namespace tymbal {

namespace {

constexpr double pi = constants::pi;
constexpr double clear_share = 0.8;    // of a mode's mass in one plain mode: it carries that name alone
constexpr double recognisable = 0.7;   // coefficient of the nearest half-waves on what the etch has set free
constexpr double equal_values = 1e-8;  // relative distance of frequencies that count as a pair

struct PlainMode {
    std::string label;
    Vector shape;
};

struct Part {
    std::string label;
    double coefficient = 0.0;  ///< of the normalised plain mode; for angular pairs the root of both shares
    bool signed_part = true;
};

double product(const Vector& mass, const Eigen::Ref<const Vector>& a, const Eigen::Ref<const Vector>& b) {
    return (mass.array() * a.array() * b.array()).sum();
}

std::string name(int a, int b) {
    std::string text = "(";
    return text.append(std::to_string(a)).append(",").append(std::to_string(b)).append(")");
}

std::string numbered(std::size_t index) {
    std::string text = "#";
    return text.append(std::to_string(index + 1));
}

/// Coefficients of plain modes, normalised in the mass, in each shape.
struct PlainParts {
    std::vector<std::string> labels;
    Eigen::MatrixXd coefficients;  ///< one row for each plain mode, one column for each shape
};

/// sin(m pi i/(points - 1)), one row for each m from 1.
Eigen::MatrixXd sines(int points, int reach) {
    Eigen::MatrixXd out(reach, points);
    for (int m = 0; m < reach; ++m)
        for (int i = 0; i < points; ++i) out(m, i) = std::sin((m + 1) * pi * i / (points - 1));
    return out;
}

/// Sums of x(m, i) y(n, j) value(node) over the nodes (i, j): first along each row of the grid, then across the rows.
template <class Value>
Eigen::MatrixXd transformed(const Grid& grid, const Eigen::MatrixXd& x, const Eigen::MatrixXd& y, Value value) {
    Eigen::MatrixXd rows = Eigen::MatrixXd::Zero(x.rows(), grid.rows);
    for (std::size_t n = 0; n < grid.nodes.size(); ++n) {
        const Node& node = grid.nodes[n];
        rows.col(node.j) += value(static_cast<Eigen::Index>(n)) * x.col(node.i);
    }
    return rows * y.transpose();
}

/// Half-waves along both sides of the box: a sine transform along x, then along y.
PlainParts rectangle_parts(const Grid& grid, const Vector& mass, const Eigen::MatrixXd& shapes, int most,
                           unsigned threads) {
    const int reach_x = std::min(most, grid.columns / 3), reach_y = std::min(most, grid.rows / 3);
    std::vector<std::array<int, 2>> waves;
    for (int m = 1; m <= reach_x; ++m)
        for (int n = 1; n <= reach_y; ++n)
            if (m * n <= 3 * most) waves.push_back({m, n});
    const Eigen::MatrixXd x = sines(grid.columns, reach_x), y = sines(grid.rows, reach_y);
    const Eigen::MatrixXd sizes =
        transformed(grid, x.cwiseAbs2(), y.cwiseAbs2(), [&](Eigen::Index n) { return mass[n]; });
    PlainParts out{{}, Eigen::MatrixXd(static_cast<Eigen::Index>(waves.size()), shapes.cols())};
    for (const auto& [m, n] : waves) out.labels.push_back(name(m, n));
    in_parallel(static_cast<std::size_t>(shapes.cols()), threads, [&](std::size_t column) {
        const auto k = static_cast<Eigen::Index>(column);
        const Eigen::MatrixXd all = transformed(grid, x, y, [&](Eigen::Index n) { return mass[n] * shapes(n, k); });
        for (std::size_t p = 0; p < waves.size(); ++p) {
            const Eigen::Index m = waves[p][0] - 1, n = waves[p][1] - 1;
            out.coefficients(static_cast<Eigen::Index>(p), k) = all(m, n) / std::sqrt(sizes(m, n));
        }
    });
    return out;
}

/// Radial function times cos and sin of `d` times the angle, about the origin.
template <class Radial>
std::vector<PlainMode> angular_pair(const Grid& grid, const std::string& label, int d, Radial radial) {
    std::vector<PlainMode> pair;
    for (const bool sine : {false, true}) {
        if (sine && d == 0) continue;
        PlainMode mode{label, Vector(static_cast<Eigen::Index>(grid.nodes.size()))};
        for (std::size_t k = 0; k < grid.nodes.size(); ++k) {
            const Point p = grid.place(grid.nodes[k]);
            const double angle = d * std::atan2(p.y, p.x);
            mode.shape[static_cast<Eigen::Index>(k)] =
                radial(std::hypot(p.x, p.y)) * (sine ? std::sin(angle) : std::cos(angle));
        }
        pair.push_back(std::move(mode));
    }
    return pair;
}

std::vector<PlainMode> disc_modes(const Grid& grid, int most) {
    const double radius = 0.5 * (grid.columns - 1) * grid.dx;
    std::vector<PlainMode> modes;
    const double highest = 2.0 * std::sqrt(static_cast<double>(most)) + 6.0;
    for (int d = 0; d < 64; ++d) {
        for (int c = 1; c < 64; ++c) {
            const double zero = bessel_zero(d, c);
            if (zero > highest) break;
            auto pair = angular_pair(grid, name(d, c), d,
                                     [&](double r) { return std::cyl_bessel_j(d, zero * std::min(1.0, r / radius)); });
            std::move(pair.begin(), pair.end(), std::back_inserter(modes));
        }
    }
    return modes;
}

/// Close to the modes of a fixed ring: half-waves between the rims over the square root of the radius.
std::vector<PlainMode> ring_modes(const Ring& ring, const Grid& grid, int most) {
    const double outer = 0.5 * (grid.columns - 1) * grid.dx;
    const double inner = outer - 0.5 * (ring.outer_diameter.si() - ring.inner_diameter.si());
    const auto radial = [&](int c) {
        return
            [=](double r) { return std::sin(c * pi * (r - inner) / (outer - inner)) / std::sqrt(std::max(r, inner)); };
    };
    std::vector<PlainMode> modes;
    for (int d = 0; d <= most; ++d) {
        for (int c = 1; c <= 4; ++c) {
            auto pair = angular_pair(grid, "d=" + std::to_string(d) + " c=" + std::to_string(c), d, radial(c));
            std::move(pair.begin(), pair.end(), std::back_inserter(modes));
        }
    }
    return modes;
}

PlainParts parts_of(const std::vector<PlainMode>& plain, const Vector& mass, const Eigen::MatrixXd& shapes) {
    PlainParts out{{}, Eigen::MatrixXd(static_cast<Eigen::Index>(plain.size()), shapes.cols())};
    const Eigen::MatrixXd momenta = mass.asDiagonal() * shapes;
    for (std::size_t p = 0; p < plain.size(); ++p) {
        const Vector& shape = plain[p].shape;
        out.labels.push_back(plain[p].label);
        out.coefficients.row(static_cast<Eigen::Index>(p)) =
            shape.transpose() * momenta / std::sqrt(product(mass, shape, shape));
    }
    return out;
}

/// No parts for polygons.
PlainParts plain_parts(const Outline& outline, const Grid& grid, const Vector& mass, const Eigen::MatrixXd& shapes,
                       unsigned threads) {
    const int most = static_cast<int>(shapes.cols()) + 4;
    if (std::holds_alternative<Rectangle>(outline) || std::holds_alternative<Released>(outline))
        return rectangle_parts(grid, mass, shapes, most, threads);
    if (const Ring* ring = std::get_if<Ring>(&outline)) return parts_of(ring_modes(*ring, grid, most), mass, shapes);
    if (std::holds_alternative<Disc>(outline)) return parts_of(disc_modes(grid, most), mass, shapes);
    return {};
}

/// Shares of the plain modes in one shape, largest first, angular pairs joined.
/// @param size  of the shape in the mass
std::vector<Part> decompose(const PlainParts& plain, Eigen::Index k, double size) {
    std::vector<Part> parts;
    for (std::size_t p = 0; p < plain.labels.size(); ++p) {
        const double c = plain.coefficients(static_cast<Eigen::Index>(p), k) / size;
        if (!parts.empty() && parts.back().label == plain.labels[p])
            parts.back() = {plain.labels[p], std::hypot(parts.back().coefficient, c), false};
        else
            parts.push_back({plain.labels[p], c, true});
    }
    std::sort(parts.begin(), parts.end(),
              [](const Part& a, const Part& b) { return std::abs(a.coefficient) > std::abs(b.coefficient); });
    return parts;
}

std::string spoken(std::vector<Part> parts) {
    const auto share = [](const Part& p) { return p.coefficient * p.coefficient; };
    if (parts.size() < 2 || share(parts[0]) >= clear_share) return parts.front().label;
    if (std::abs(share(parts[0]) - share(parts[1])) < 1e-3 && parts[1].label < parts[0].label)
        std::swap(parts[0], parts[1]);
    const bool same =
        !parts[0].signed_part || !parts[1].signed_part || parts[0].coefficient * parts[1].coefficient > 0.0;
    std::string label = parts[0].label;
    return label.append(same ? "+" : "-").append(parts[1].label);
}

/// Mirrors that a grid over a polygon's box can have, with what a label calls them.
struct Mirror {
    const char* name;
    bool (*applies)(const Grid& grid);
    std::array<int, 2> (*image)(const Grid& grid, int i, int j);
};

bool always(const Grid&) {
    return true;
}

bool square_box(const Grid& grid) {
    return grid.columns == grid.rows && std::abs(grid.dx / grid.dy - 1.0) < 1e-9;
}

constexpr std::array<Mirror, 4> mirrors{{
    {"x", always,
     [](const Grid& g, int i, int j) {
         return std::array{g.columns - 1 - i, j};
     }},
    {"y", always,
     [](const Grid& g, int i, int j) {
         return std::array{i, g.rows - 1 - j};
     }},
    {"d", square_box,
     [](const Grid&, int i, int j) {
         return std::array{j, i};
     }},
    {"a", square_box,
     [](const Grid& g, int i, int j) {
         return std::array{g.columns - 1 - j, g.rows - 1 - i};
     }},
}};

/// Share of a shape that stays the same, minus what turns its sign, under a mirror; 0 when the outline has not got it.
double parity(const Grid& grid, const Vector& mass, const Vector& shape, const Mirror& mirror) {
    if (!mirror.applies(grid)) return 0.0;
    double kept = 0.0, all = 0.0;
    for (std::size_t k = 0; k < grid.nodes.size(); ++k) {
        const auto at = mirror.image(grid, grid.nodes[k].i, grid.nodes[k].j);
        const int image = grid.number[static_cast<std::size_t>(at[0] + grid.columns * at[1])];
        if (image < 0) return 0.0;
        const auto e = static_cast<Eigen::Index>(k);
        kept += mass[e] * shape[e] * shape[image];
        all += mass[e] * shape[e] * shape[e];
    }
    return kept / all;
}

/// Index and the first two mirrors under which the shape is plainly even (+) or odd (-): of x, of y, at the diagonals
/// y = x (d) and y = -x (a) of the box.
std::string polygon_label(const Grid& grid, const Vector& mass, const Vector& shape, std::size_t index) {
    std::string label = numbered(index);
    int named = 0;
    for (const Mirror& mirror : mirrors) {
        const double p = parity(grid, mass, shape, mirror);
        if (std::abs(p) < 0.9 || named == 2) continue;
        label.append(" ").append(mirror.name).append(p > 0.0 ? "+" : "-");
        ++named;
    }
    return label;
}

bool has_free_edges(const Grid& grid) {
    return std::any_of(grid.nodes.begin(), grid.nodes.end(), [](const Node& node) {
        return std::any_of(node.arms.begin(), node.arms.end(), [](const Arm& arm) { return arm.free(); });
    });
}

}  // namespace

double bessel_zero(int order, int count) {
    double left = order == 0 ? 1.0 : order + 0.5;
    int found = 0;
    double before = std::cyl_bessel_j(order, left);
    for (double right = left + 0.1;; right += 0.1) {
        const double value = std::cyl_bessel_j(order, right);
        if (before * value <= 0.0 && ++found == count) {
            double a = right - 0.1, b = right;
            for (int step = 0; step < 60; ++step) {
                const double middle = 0.5 * (a + b);
                (std::cyl_bessel_j(order, middle) * before > 0.0 ? a : b) = middle;
            }
            return 0.5 * (a + b);
        }
        before = value;
        left = right;
    }
}

std::vector<std::string> label_modes(const Outline& outline, const Grid& grid, const Vector& mass,
                                     const Eigen::MatrixXd& shapes, unsigned threads) {
    const PlainParts plain = plain_parts(outline, grid, mass, shapes, threads);
    const bool ring = std::holds_alternative<Ring>(outline);
    // Where fronts or openings shape the film, the outline's plain modes may be no guide.
    const bool altered = std::holds_alternative<Released>(outline) || has_free_edges(grid);
    std::vector<std::string> labels;
    for (Eigen::Index k = 0; k < shapes.cols(); ++k) {
        const auto index = static_cast<std::size_t>(k);
        const std::vector<Part> parts = decompose(plain, k, std::sqrt(product(mass, shapes.col(k), shapes.col(k))));
        if (parts.empty() || (altered && std::abs(parts.front().coefficient) < recognisable))
            labels.push_back(polygon_label(grid, mass, shapes.col(k), index));
        else
            labels.push_back(ring ? numbered(index).append(" ").append(spoken(parts)) : spoken(parts));
    }
    return labels;
}

void align_pairs(const Outline& outline, const Grid& grid, const Vector& mass, const Vector& values,
                 Eigen::MatrixXd& shapes, unsigned threads) {
    const auto equal = [&](Eigen::Index k) { return std::abs(values[k + 1] - values[k]) <= equal_values * values[k]; };
    bool any = false;
    for (Eigen::Index k = 0; k + 1 < shapes.cols(); ++k) any = any || equal(k);
    if (!any) return;
    const PlainParts plain = plain_parts(outline, grid, mass, shapes, threads);
    if (plain.labels.empty()) return;
    for (Eigen::Index k = 0; k + 1 < shapes.cols(); ++k) {
        if (!equal(k)) continue;
        double most = -1.0, a = 1.0, b = 0.0;
        for (Eigen::Index p = 0; p < plain.coefficients.rows(); ++p) {
            const double ca = plain.coefficients(p, k), cb = plain.coefficients(p, k + 1);
            if (std::hypot(ca, cb) <= most + 1e-6) continue;
            most = std::hypot(ca, cb);
            a = ca / most;
            b = cb / most;
        }
        for (Eigen::Index n = 0; n < shapes.rows(); ++n) {
            const double first = shapes(n, k), second = shapes(n, k + 1);
            shapes(n, k) = a * first + b * second;
            shapes(n, k + 1) = a * second - b * first;
        }
        ++k;
    }
}

}  // namespace tymbal
