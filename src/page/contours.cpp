#include "contours.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace tymbal {

namespace {

enum Side { south, east, north, west };
struct Step {
    Side from, to;
};

/// Contour pieces in a cell by which corners lie above (1 lower left, 2 lower right, 4 upper right, 8 upper left), the
/// higher side on the left.
const std::array<std::vector<Step>, 16> pieces{{
    {},
    {{south, west}},
    {{east, south}},
    {{east, west}},
    {{north, east}},
    {{south, west}, {north, east}},
    {{north, south}},
    {{north, west}},
    {{west, north}},
    {{south, north}},
    {{east, south}, {west, north}},
    {{east, north}},
    {{west, east}},
    {{south, east}},
    {{west, south}},
    {},
}};

/// Crossings of grid links by one contour, each with the next one along it.
class Contour {
public:
    Contour(const Raster& raster, double level)
        : raster_(raster), level_(level), next_(2 * raster.values.size(), none), entered_(next_.size(), false) {
        for (int j = 0; j + 1 < raster.rows; ++j)
            for (int i = 0; i + 1 < raster.columns; ++i) add_cell(i, j);
    }

    [[nodiscard]] std::vector<Polyline> lines() {
        std::vector<Polyline> all;
        for (std::size_t link = 0; link < next_.size(); ++link)
            if (next_[link] != none && !entered_[link]) all.push_back(follow(link));
        for (std::size_t link = 0; link < next_.size(); ++link)
            if (next_[link] != none) all.push_back(follow(link));
        return all;
    }

private:
    static constexpr std::size_t none = std::numeric_limits<std::size_t>::max();

    /// Number of the link from (i, j) to the right (even) or upwards (odd).
    [[nodiscard]] std::size_t link(int i, int j, Side side) const {
        if (side == east) ++i;
        if (side == north) ++j;
        const bool upwards = side == west || side == east;
        return 2 * static_cast<std::size_t>(i + raster_.columns * j) + (upwards ? 1U : 0U);
    }

    void add_cell(int i, int j) {
        const std::array<double, 4> corners{raster_.at(i, j), raster_.at(i + 1, j), raster_.at(i + 1, j + 1),
                                            raster_.at(i, j + 1)};
        std::size_t mask = 0;
        for (std::size_t k = 0; k < 4; ++k) {
            if (std::isnan(corners[k])) return;
            if (corners[k] >= level_) mask |= std::size_t{1} << k;
        }
        for (const Step& step : pieces[mask]) {
            next_[link(i, j, step.from)] = link(i, j, step.to);
            entered_[link(i, j, step.to)] = true;
        }
    }

    [[nodiscard]] Point place(std::size_t number) const {
        const std::size_t node = number / 2, columns = static_cast<std::size_t>(raster_.columns);
        const std::size_t other = node + (number % 2 == 0 ? 1 : columns);
        const double a = raster_.values[node], b = raster_.values[other], t = (level_ - a) / (b - a);
        const std::size_t row = node / columns;
        const double x = static_cast<double>(node % columns), y = static_cast<double>(row);
        return {raster_.x0 + (number % 2 == 0 ? x + t : x) * raster_.dx,
                raster_.y0 + (number % 2 == 0 ? y : y + t) * raster_.dy};
    }

    Polyline follow(std::size_t from) {
        Polyline line{place(from)};
        while (next_[from] != none) {
            const std::size_t to = next_[from];
            next_[from] = none;
            line.push_back(place(to));
            from = to;
        }
        return line;
    }

    const Raster& raster_;
    double level_;
    std::vector<std::size_t> next_;
    std::vector<bool> entered_;
};

/// One more point on every side. @param beyond  value of a new point at (i, j) of the old numbering
template <class Beyond>
Raster grown(const Raster& raster, Beyond beyond) {
    Raster out{
        raster.columns + 2, raster.rows + 2, raster.x0 - raster.dx, raster.y0 - raster.dy, raster.dx, raster.dy, {}};
    for (int j = -1; j <= raster.rows; ++j)
        for (int i = -1; i <= raster.columns; ++i) {
            const bool inside = i >= 0 && j >= 0 && i < raster.columns && j < raster.rows;
            out.values.push_back(inside ? raster.at(i, j) : beyond(i, j));
        }
    return out;
}

/// Mean of the known values among the eight neighbours, NaN without any.
double mean_round(const Raster& raster, int i, int j) {
    double sum = 0.0;
    int count = 0;
    for (int v = std::max(0, j - 1); v <= std::min(raster.rows - 1, j + 1); ++v)
        for (int u = std::max(0, i - 1); u <= std::min(raster.columns - 1, i + 1); ++u)
            if (!std::isnan(raster.at(u, v))) sum += raster.at(u, v), ++count;
    return count > 0 ? sum / count : std::numeric_limits<double>::quiet_NaN();
}

double distance_to_chord(Point p, Point a, Point b) {
    const double dx = b.x - a.x, dy = b.y - a.y, length2 = dx * dx + dy * dy;
    const double along = length2 > 0.0 ? ((p.x - a.x) * dx + (p.y - a.y) * dy) / length2 : 0.0;
    const double t = std::clamp(along, 0.0, 1.0);
    return std::hypot(p.x - a.x - t * dx, p.y - a.y - t * dy);
}

/// Whether all points between two stand near the straight line from one to the other.
bool near_chord(const Polyline& line, std::size_t from, std::size_t to, double tolerance) {
    for (std::size_t k = from + 1; k < to; ++k)
        if (distance_to_chord(line[k], line[from], line[to]) > tolerance) return false;
    return true;
}

}  // namespace

Raster raster_of(const ShapeRaster& shape) {
    Raster out{shape.columns, shape.rows, shape.x0, shape.y0, shape.dx, shape.dy, shape.w};
    for (std::size_t p = 0; p < shape.open.size(); ++p)
        if (shape.open[p]) out.values[p] = std::numeric_limits<double>::quiet_NaN();
    return out;
}

Raster raster_of_largest(const StressMap& map) {
    return {map.columns, map.rows, map.x0, map.y0, map.dx, map.dy, map.largest};
}

Raster thinned(const Raster& raster, int most) {
    const int step = (std::max(raster.columns, raster.rows) + most - 1) / most;
    if (step <= 1) return raster;
    Raster out{(raster.columns + step - 1) / step,
               (raster.rows + step - 1) / step,
               raster.x0,
               raster.y0,
               raster.dx * step,
               raster.dy * step,
               {}};
    for (int j = 0; j < raster.rows; j += step)
        for (int i = 0; i < raster.columns; i += step) out.values.push_back(raster.at(i, j));
    return out;
}

Raster largest_near_by(const Raster& raster, int reach_x, int reach_y) {
    const auto pass = [](const Raster& from, int along_x, int along_y) {
        Raster to = from;
        for (int j = 0; j < from.rows; ++j)
            for (int i = 0; i < from.columns; ++i) {
                double& most = to.values[static_cast<std::size_t>(i + from.columns * j)];
                for (int v = std::max(0, j - along_y); v <= std::min(from.rows - 1, j + along_y); ++v)
                    for (int u = std::max(0, i - along_x); u <= std::min(from.columns - 1, i + along_x); ++u)
                        if (!(from.at(u, v) <= most) && !std::isnan(from.at(u, v))) most = from.at(u, v);
            }
        return to;
    };
    return pass(pass(raster, reach_x, 0), 0, reach_y);
}

Raster filled_outwards(Raster raster, int rings) {
    bool changed = true;
    for (int ring = 0; ring < rings && changed; ++ring) {
        changed = false;
        const Raster before = raster;
        for (int j = 0; j < raster.rows; ++j) {
            for (int i = 0; i < raster.columns; ++i) {
                double& value = raster.values[static_cast<std::size_t>(i + raster.columns * j)];
                if (!std::isnan(value)) continue;
                value = mean_round(before, i, j);
                changed = changed || !std::isnan(value);
            }
        }
    }
    return raster;
}

Raster covering(const Raster& raster, int most) {
    // Film narrower than a step of the thinned raster must not be lost: first it grows by one.
    const int step = (std::max(raster.columns, raster.rows) + most - 1) / most;
    return filled_outwards(thinned(filled_outwards(raster, step), most), most);
}

Raster widened(const Raster& raster) {
    return grown(raster, [&](int i, int j) {
        return raster.at(std::clamp(i, 0, raster.columns - 1), std::clamp(j, 0, raster.rows - 1));
    });
}

std::vector<Polyline> regions_above(const Raster& raster, double level) {
    // Crossings towards a ring of lowest values lie on the raster's border.
    const Raster whole = grown(raster, [](int, int) { return -1e300; });
    return Contour(whole, level).lines();
}

std::vector<Polyline> zero_lines(const Raster& raster) {
    return Contour(raster, 0.0).lines();
}

Polyline simplified(const Polyline& line, double tolerance) {
    Polyline out;
    for (std::size_t from = 0; from < line.size();) {
        out.push_back(line[from]);
        std::size_t to = from + 1;
        while (to + 1 < line.size() && near_chord(line, from, to + 1, tolerance)) ++to;
        from = to;
    }
    return out;
}

double length(const Polyline& line) {
    double sum = 0.0;
    for (std::size_t k = 1; k < line.size(); ++k)
        sum += std::hypot(line[k].x - line[k - 1].x, line[k].y - line[k - 1].y);
    return sum;
}

}  // namespace tymbal
