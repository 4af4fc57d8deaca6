#include "plain_modes.h"

#include "tymbal/base/constants.h"
#include "tymbal/modes/labels.h"

#include "../base/in_parallel.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <utility>

namespace tymbal {

namespace {

using constants::pi;

std::string name(int a, int b) {
    std::string text = "(";
    return text.append(std::to_string(a)).append(",").append(std::to_string(b)).append(")");
}

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

/// Plain modes of a disc or ring: a radial function times the cosine and, but for d = 0, the sine of d times the angle.
class AngularModes {
public:
    /// @param inner  radius, m, of the hole in the middle; 0 without
    AngularModes(double inner, double outer) : inner_(inner), width_(outer - inner) {}

    /// @param radial  of the distance from the centre, m
    template <class Radial>
    void add(const std::string& label, int d, Radial radial) {
        labels_.push_back(label);
        if (d > 0) labels_.push_back(label);
        std::vector<double> table(steps + 1);
        for (std::size_t k = 0; k <= steps; ++k) table[k] = radial(inner_ + width_ * static_cast<double>(k) / steps);
        modes_.push_back({d, std::move(table)});
    }

    [[nodiscard]] const std::vector<std::string>& labels() const { return labels_; }

    /// Values of all at a place, in the order of the labels.
    template <class Values>
    void fill(Point p, Values&& values) const {
        const double at = std::clamp((std::hypot(p.x, p.y) - inner_) / width_, 0.0, 1.0) * steps;
        const auto below = std::min(static_cast<std::size_t>(at), steps - 1);
        const double beyond = at - static_cast<double>(below), angle = std::atan2(p.y, p.x);
        std::complex<double> turned = 1.0;
        int d = 0;
        Eigen::Index n = 0;
        for (const Pair& pair : modes_) {
            if (pair.d != d) turned = std::polar(1.0, (d = pair.d) * angle);
            const double radial = (1.0 - beyond) * pair.radial[below] + beyond * pair.radial[below + 1];
            values[n++] = radial * turned.real();
            if (d > 0) values[n++] = radial * turned.imag();
        }
    }

private:
    struct Pair {
        int d;
        std::vector<double> radial;  ///< at equal steps from the inner rim to the outer one
    };
    // Linear between them: off by z^2/(16 steps^2), some 1e-6 for z = 20 radians from rim to rim. Bessel functions at
    // each node would take longer than the modes themselves.
    static constexpr std::size_t steps = 4096;
    double inner_, width_;
    std::vector<Pair> modes_;
    std::vector<std::string> labels_;
};

AngularModes disc_modes(const Grid& grid, int most) {
    const double radius = 0.5 * (grid.columns - 1) * grid.dx;
    AngularModes modes(0.0, radius);
    const double highest = 2.0 * std::sqrt(static_cast<double>(most)) + 6.0;
    for (int d = 0; d < 64; ++d) {
        for (int c = 1; c < 64; ++c) {
            const double zero = bessel_zero(d, c);
            if (zero > highest) break;
            modes.add(name(d, c), d, [&](double r) { return std::cyl_bessel_j(d, zero * r / radius); });
        }
    }
    return modes;
}

/// Close to the modes of a fixed ring: half-waves between the rims over the square root of the radius.
AngularModes ring_modes(const Ring& ring, const Grid& grid, int most) {
    const double outer = 0.5 * (grid.columns - 1) * grid.dx;
    const double inner = outer - 0.5 * (ring.outer_diameter.si() - ring.inner_diameter.si());
    AngularModes modes(inner, outer);
    for (int d = 0; d <= most; ++d)
        for (int c = 1; c <= 4; ++c)
            modes.add("d=" + std::to_string(d) + " c=" + std::to_string(c), d, [&](double r) {
                return std::sin(c * pi * (r - inner) / (outer - inner)) / std::sqrt(std::max(r, inner));
            });
    return modes;
}

/// Sums over the nodes some at a time: the plain modes of all nodes would be many times what the shapes hold.
PlainParts parts_of(const AngularModes& plain, const Grid& grid, const Vector& mass, const Eigen::MatrixXd& shapes,
                    unsigned threads) {
    constexpr std::size_t together = 256;
    const auto modes = static_cast<Eigen::Index>(plain.labels().size());
    const auto rows = static_cast<std::size_t>(grid.rows);
    constexpr std::size_t height = 32;
    struct Sums {
        Eigen::MatrixXd coefficients;
        Vector sizes;
    };
    std::vector<Sums> part((rows + height - 1) / height);
    in_parallel(part.size(), threads, [&](std::size_t s) {
        Sums& sums = part[s] = {Eigen::MatrixXd::Zero(modes, shapes.cols()), Vector::Zero(modes)};
        const auto [first, last] =
            nodes_in_rows(grid, static_cast<int>(s * height), static_cast<int>(std::min(rows, (s + 1) * height)));
        for (std::size_t from = first; from < last; from += together) {
            const auto count = static_cast<Eigen::Index>(std::min(together, last - from));
            const auto begin = static_cast<Eigen::Index>(from);
            Eigen::MatrixXd values(modes, count);
            for (Eigen::Index n = 0; n < count; ++n)
                plain.fill(grid.place(grid.nodes[from + static_cast<std::size_t>(n)]), values.col(n));
            const Eigen::MatrixXd weighted = values * mass.segment(begin, count).asDiagonal();
            sums.coefficients.noalias() += weighted * shapes.middleRows(begin, count);
            sums.sizes += weighted.cwiseProduct(values).rowwise().sum();
        }
    });
    PlainParts out{plain.labels(), Eigen::MatrixXd::Zero(modes, shapes.cols())};
    Vector sizes = Vector::Zero(modes);
    for (const Sums& sums : part) {
        out.coefficients += sums.coefficients;
        sizes += sums.sizes;
    }
    out.coefficients = sizes.cwiseSqrt().cwiseInverse().asDiagonal() * out.coefficients;
    return out;
}

}  // namespace

PlainParts plain_parts(const Outline& outline, const Grid& grid, const Vector& mass, const Eigen::MatrixXd& shapes,
                       unsigned threads) {
    const int most = static_cast<int>(shapes.cols()) + 4;
    if (std::holds_alternative<Rectangle>(outline) || std::holds_alternative<Released>(outline))
        return rectangle_parts(grid, mass, shapes, most, threads);
    if (const Ring* ring = std::get_if<Ring>(&outline))
        return parts_of(ring_modes(*ring, grid, most), grid, mass, shapes, threads);
    if (std::holds_alternative<Disc>(outline)) return parts_of(disc_modes(grid, most), grid, mass, shapes, threads);
    return {};
}

}  // namespace tymbal
