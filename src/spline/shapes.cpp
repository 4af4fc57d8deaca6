#include "shapes.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace tymbal::spline {

namespace {

constexpr int reach = 2;  // cells beyond a free edge

/// Where the film of a part has its middle, within its cell.
Point middle_of(const Cells& cells, const Part& part) {
    if (part.cut < 0) return {0.5, 0.5};
    const Weights& w = cells.weights_of(part);
    Point sum;
    for (std::size_t y = 0; y < gauss_count; ++y)
        for (std::size_t x = 0; x < gauss_count; ++x) {
            const double weight = w[static_cast<Eigen::Index>(y * gauss_count + x)];
            sum.x += weight * gauss().at[x];
            sum.y += weight * gauss().at[y];
        }
    return {sum.x / part.share, sum.y / part.share};
}

/// The parts of one cell: first and one beyond the last.
std::array<std::size_t, 2> parts_in(const Cells& cells, int ix, int iy) {
    if (iy < 0 || iy >= cells.frame.ny) return {0, 0};
    const auto row = static_cast<std::size_t>(iy);
    const auto begin = cells.parts.begin() + cells.row_first[row], end = cells.parts.begin() + cells.row_first[row + 1];
    const auto first = std::lower_bound(begin, end, ix, [](const Part& p, int x) { return p.ix < x; });
    auto last = first;
    while (last != end && last->ix == ix) ++last;
    return {static_cast<std::size_t>(first - cells.parts.begin()),
            static_cast<std::size_t>(last - cells.parts.begin())};
}

/// The part whose middle is nearest to (x, y), in units of cells; the number of parts where none is near.
std::size_t nearest_part(const Cells& cells, double x, double y) {
    const int ix = static_cast<int>(std::floor(x)), iy = static_cast<int>(std::floor(y));
    std::size_t nearest = cells.parts.size();
    for (int away = 0; away <= reach && nearest == cells.parts.size(); ++away) {
        double least = std::numeric_limits<double>::infinity();
        for (int j = iy - away; j <= iy + away; ++j)
            for (int i = ix - away; i <= ix + away; ++i) {
                if (std::max(std::abs(i - ix), std::abs(j - iy)) != away) continue;
                const auto [first, last] = parts_in(cells, i, j);
                for (std::size_t p = first; p < last; ++p) {
                    const Point m = middle_of(cells, cells.parts[p]);
                    const double distance = std::hypot(i + m.x - x, j + m.y - y);
                    if (distance >= least) continue;
                    least = distance;
                    nearest = p;
                }
            }
    }
    return nearest;
}

}  // namespace

Local coefficients(const PartUnknowns& u, const Eigen::Ref<const Vector>& vector) {
    Local out;
    for (std::size_t k = 0; k < per_cell; ++k) out[static_cast<Eigen::Index>(k)] = u.sign[k] * vector[u.unknown[k]];
    return out;
}

Eigen::MatrixXd shapes_at(const Cells& cells, const Space& space, const Eigen::MatrixXd& vectors,
                          const std::vector<Point>& points) {
    Eigen::MatrixXd out = Eigen::MatrixXd::Zero(static_cast<Eigen::Index>(points.size()), vectors.cols());
    const Frame& f = cells.frame;
    for (std::size_t n = 0; n < points.size(); ++n) {
        const double x = (points[n].x - f.x0) / f.hx, y = (points[n].y - f.y0) / f.hy;
        const std::size_t p = nearest_part(cells, x, y);
        if (p == cells.parts.size()) continue;
        const Local w = splines_at(x - cells.parts[p].ix, y - cells.parts[p].iy, 0, 0);
        for (Eigen::Index k = 0; k < vectors.cols(); ++k)
            out(static_cast<Eigen::Index>(n), k) = w.dot(coefficients(space.parts[p], vectors.col(k)));
    }
    return out;
}

std::vector<std::optional<Tension>> tension_at(const Cells& cells, const Space& space, const Plane& plane,
                                               const std::vector<Point>& points) {
    std::vector<std::optional<Tension>> out(points.size());
    const Frame& f = cells.frame;
    for (std::size_t n = 0; n < points.size(); ++n) {
        const double x = (points[n].x - f.x0) / f.hx, y = (points[n].y - f.y0) / f.hy;
        const std::size_t p = nearest_part(cells, x, y);
        if (p == cells.parts.size()) continue;
        // Beyond the part's cell strain would run away: its nearest point stands for it.
        const Point at{std::clamp(x - cells.parts[p].ix, 0.0, 1.0), std::clamp(y - cells.parts[p].iy, 0.0, 1.0)};
        out[n] = plane.at(cells, space, p, at);
    }
    return out;
}

}  // namespace tymbal::spline
