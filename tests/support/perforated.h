// Rectangles full of circular holes on a grid, for tests and benchmarks of solvers: what part of each cell is film.
#pragma once

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

namespace tymbal::perforated {

/// Area of the disc of radius r round the origin left of x and below y, by the chord's length: int from -r to x of the
/// part of the chord below y.
inline double corner_area(double x, double y, double r) {
    const auto under_arc = [r](double t) {  // integral of sqrt(r^2 - t^2)
        const double u = std::clamp(t, -r, r);
        return 0.5 * (u * std::sqrt(std::max(0.0, r * r - u * u)) + r * r * std::asin(u / r));
    };
    if (r <= 0.0 || x <= -r || y <= -r) return 0.0;
    const double end = std::min(x, r);
    if (y >= r) return 2.0 * (under_arc(end) - under_arc(-r));
    const double turn = std::sqrt(r * r - y * y);  // where the arc is at height |y|
    const auto whole = [&](double a, double b) { return b > a ? 2.0 * (under_arc(b) - under_arc(a)) : 0.0; };
    const auto cut = [&](double a, double b) { return b > a ? under_arc(b) - under_arc(a) + y * (b - a) : 0.0; };
    const double middle = cut(std::max(-turn, -r), std::min(end, turn));
    if (y <= 0.0) return middle;
    return whole(-r, std::min(end, -turn)) + middle + whole(turn, end);
}

/// Area common to a disc round the origin and the box.
inline double disc_in_box(double x0, double x1, double y0, double y1, double r) {
    return corner_area(x1, y1, r) - corner_area(x0, y1, r) - corner_area(x1, y0, r) + corner_area(x0, y0, r);
}

/// Film share of cells_x x cells_y square cells, order i + cells_x * j. One hole in the middle of each of holes_x x
/// holes_y equal parts. @param fill  area of the holes over all
inline std::vector<double> film_share(int cells_x, int cells_y, int holes_x, int holes_y, double fill) {
    const double px = static_cast<double>(cells_x) / holes_x, py = static_cast<double>(cells_y) / holes_y;
    const double r = std::sqrt(fill * px * py / std::acos(-1.0));
    std::vector<double> share(static_cast<std::size_t>(cells_x) * static_cast<std::size_t>(cells_y));
    for (int j = 0; j < cells_y; ++j)
        for (int i = 0; i < cells_x; ++i) {
            double hole = 0.0;
            const int a = static_cast<int>(i / px), b = static_cast<int>(j / py);
            for (int q = std::max(0, b - 1); q <= std::min(holes_y - 1, b + 1); ++q)
                for (int p = std::max(0, a - 1); p <= std::min(holes_x - 1, a + 1); ++p) {
                    const double x = i - (p + 0.5) * px, y = j - (q + 0.5) * py;
                    if (std::abs(x) > r + 1.5 || std::abs(y) > r + 1.5) continue;
                    hole += disc_in_box(x, x + 1.0, y, y + 1.0, r);
                }
            const double film = 1.0 - hole;
            share[static_cast<std::size_t>(i) + static_cast<std::size_t>(cells_x) * static_cast<std::size_t>(j)] =
                film < 1e-9 ? 0.0 : std::min(film, 1.0);
        }
    return share;
}

}  // namespace tymbal::perforated
