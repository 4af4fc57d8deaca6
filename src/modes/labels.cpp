#include "tymbal/modes/labels.h"

#include "plain_modes.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace tymbal {

namespace {

constexpr double clear_share = 0.8;    // of a mode's mass in one plain mode: it carries that name alone
constexpr double recognisable = 0.7;   // coefficient of the nearest half-waves on what the etch has set free
constexpr double equal_values = 1e-8;  // relative distance of frequencies that count as a pair

struct Part {
    std::string label;
    double coefficient = 0.0;  ///< of the normalised plain mode; for angular pairs the root of both shares
    bool signed_part = true;
};

double product(const Vector& mass, const Eigen::Ref<const Vector>& a, const Eigen::Ref<const Vector>& b) {
    return (mass.array() * a.array() * b.array()).sum();
}

std::string numbered(std::size_t index) {
    std::string text = "#";
    return text.append(std::to_string(index + 1));
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
struct Reflection {
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

constexpr std::array<Reflection, 4> reflections{{
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
double parity(const Grid& grid, const Vector& mass, const Vector& shape, const Reflection& mirror) {
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

/// Index and the first two reflections under which the shape is plainly even (+) or odd (-): of x, of y, at the
/// diagonals y = x (d) and y = -x (a) of the box.
std::string polygon_label(const Grid& grid, const Vector& mass, const Vector& shape, std::size_t index) {
    std::string label = numbered(index);
    int named = 0;
    for (const Reflection& mirror : reflections) {
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
