#include "rim_spring.h"

#include "basis.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <vector>

namespace tymbal::spline {

namespace {

using Matrix = Eigen::MatrixXd;
using Vector = Eigen::VectorXd;

/// The half line in units of the spacing, its rim at the share `from` of the first cell, pulled by a unit load at the
/// far end; without the spring.
struct HalfLine {
    double length = 0.0;
    double end = 0.0, cross = 0.0, rim = 0.0;  ///< load' K^-1 load, load' K^-1 slope, slope' K^-1 slope
    /// Shift of the rim with the spring: the end's compliance is length minus shift.
    [[nodiscard]] double shift(double kappa) const {
        return length - (end - kappa * cross * cross / (1.0 + kappa * rim));
    }
};

/// Symmetric with `width` diagonals beside the main one; solved for two right-hand sides.
class Banded {
public:
    Banded(int size, int width)
        : size_(size), width_(width), data_(static_cast<std::size_t>(size * (width + 1)), 0.0) {}
    double& at(int row, int column) { return data_[static_cast<std::size_t>(row * (width_ + 1) + row - column)]; }
    void add(const Vector& v, double factor, int first) {
        for (int i = 0; i < v.size(); ++i)
            for (int j = 0; j <= i; ++j) at(first + i, first + j) += factor * v[i] * v[j];
    }
    void factor() {
        for (int i = 0; i < size_; ++i)
            for (int j = std::max(0, i - width_); j <= i; ++j) {
                double sum = at(i, j);
                for (int k = std::max(0, i - width_); k < j; ++k)
                    if (j - k <= width_) sum -= at(i, k) * at(j, k);
                at(i, j) = i == j ? std::sqrt(sum) : sum / at(j, j);
            }
    }
    /// Inverse of the factor times b: products of two such are products with the inverse matrix between.
    Vector half_solved(Vector b) {
        for (int i = 0; i < size_; ++i) {
            for (int k = std::max(0, i - width_); k < i; ++k) b[i] -= at(i, k) * b[k];
            b[i] /= at(i, i);
        }
        return b;
    }

private:
    int size_, width_;
    std::vector<double> data_;
};

Vector line_vector(double t, int derivative) {
    const Line s = splines(t, derivative);
    return Eigen::Map<const Vector>(s.data(), per_side);
}

/// @param from  share of the first cell beyond the rim; on_line: 0, with w = 0 strongly
HalfLine half_line(double r, double from, bool on_line) {
    const int cells = static_cast<int>(24.0 + 24.0 * std::min(r, 40.0)), size = cells + degree;
    Banded k(size, per_side);
    const double r2 = r * r;
    for (int c = 0; c < cells; ++c) {
        const double start = c == 0 ? from : 0.0;
        for (std::size_t q = 0; q < gauss_count; ++q) {
            const double t = start + (1.0 - start) * gauss().at[q], weight = (1.0 - start) * gauss().weight[q];
            k.add(line_vector(t, 1), weight, c);
            k.add(line_vector(t, 2), weight * r2, c);
        }
    }
    Vector slope = Vector::Zero(size), load = Vector::Zero(size);
    slope.head(per_side) = line_vector(from, 1);
    load.tail(per_side) = line_vector(1.0, 0);
    const Vector w = line_vector(from, 0), dw = line_vector(from, 1);
    if (on_line) {
        // w(0) = (c0 + c1)/2 held by a term that outweighs all others: 1e9 of the stiffness leaves 1e-9 of the
        // deflection.
        k.add(w, 1e9 * (1.0 + r2), 0);
    } else {
        // - 2 N w w_n with the normal out of the film, plus the strengths of the penalty.
        Matrix sides = dw * w.transpose();
        sides += sides.transpose().eval();
        for (int i = 0; i < per_side; ++i)
            for (int j = 0; j <= i; ++j) k.at(i, j) += sides(i, j);
        k.add(w, hold_tension + hold_bending * r2, 0);
        Vector jump(per_side + 1);
        jump << 1.0, -3.0, 3.0, -1.0;
        k.add(jump, ghost_held * (1.0 + r2), 0);
    }
    k.factor();
    const Vector a = k.half_solved(load), b = k.half_solved(slope);
    return {cells - from, a.dot(a), a.dot(b), b.dot(b)};
}

/// kappa for which the mean shift of the lines is r. The shift rises with kappa.
double spring(const std::vector<HalfLine>& lines, double r) {
    const auto mean = [&](double kappa) {
        double sum = 0.0;
        for (const HalfLine& l : lines) sum += l.shift(kappa);
        return sum / static_cast<double>(lines.size());
    };
    double low = std::log(1e-3 * std::min(r, r * r)), high = std::log(1e4 * std::max(r, r * r));
    for (int step = 0; step < 60; ++step) {
        const double middle = 0.5 * (low + high);
        (mean(std::exp(middle)) < r ? low : high) = middle;
    }
    return std::exp(0.5 * (low + high));
}

/// ln(kappa/r^2) at even steps of ln r, cubic between them.
class Table {
public:
    Table(bool on_line, double least, double most)
        : first_(std::log(least)), step_((std::log(most) - first_) / (count - 1)) {
        for (int i = 0; i < count; ++i) {
            const double r = std::exp(first_ + i * step_);
            std::vector<HalfLine> lines;
            if (on_line) {
                lines.push_back(half_line(r, 0.0, true));
            } else {
                constexpr int cuts = 6;
                for (int k = 0; k < cuts; ++k) lines.push_back(half_line(r, (k + 0.5) / cuts, false));
            }
            values_.push_back(std::log(spring(lines, r) / (r * r)));
        }
    }
    [[nodiscard]] RimSpring at(double r) const {
        const double x = (std::log(r) - first_) / step_;
        if (x <= 0.0) {  // coarse grid: kappa = r times what it is at the table's end
            const double value = std::exp(values_.front() - x * step_);
            return {value, -value};
        }
        if (x >= count - 1) return {std::exp(values_.back()), 0.0};  // fine grid: stiff enough to hold the slope
        const int i = std::clamp(static_cast<int>(x), 1, count - 3);
        const double t = x - i;
        const double a = v(i - 1), b = v(i), c = v(i + 1), d = v(i + 2);
        const double c1 = 0.5 * (c - a), c2 = a - 2.5 * b + 2.0 * c - 0.5 * d, c3 = 0.5 * (d - a) + 1.5 * (b - c);
        const double value = std::exp(b + t * (c1 + t * (c2 + t * c3)));
        return {value, value * (c1 + t * (2.0 * c2 + 3.0 * t * c3)) / step_};
    }

private:
    static constexpr int count = 128;
    [[nodiscard]] double v(int i) const { return values_[static_cast<std::size_t>(i)]; }
    double first_, step_;
    std::vector<double> values_;
};

}  // namespace

RimSpring spring_on_line(double r) {
    static const Table table(true, 2e-3, 40.0);
    return table.at(r);
}

RimSpring spring_in_cell(double r) {
    static const Table table(false, 3e-3, 8.0);
    return table.at(r);
}

}  // namespace tymbal::spline
