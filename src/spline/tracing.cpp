#include "tracing.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace tymbal::spline {

namespace {

/// Corners of curves are moved to the middle between steps of this size, so that none lies on a grid line: then every
/// edge crosses grid lines cleanly or not at all. The two directions differ, so that no diagonal runs through corners
/// of cells.
constexpr double raster = 0x1p-22;

/// Corners on a side that falls on a grid line are moved beyond it by just more than the raster, in cells: oblique
/// edges that end there keep their place to that much.
constexpr double push = 4.0 * raster;

Point in_cells(Point p, const Region& region, const Frame& f) {
    const double near = 1e-9 * std::max(region.box.high.x - region.box.low.x, region.box.high.y - region.box.low.y);
    const auto pushed = [near](double at, double low, double high, bool flush_low, bool flush_high, double h) {
        if (flush_low && at < low + near) return at - push * h;
        if (flush_high && at > high - near) return at + push * h;
        return at;
    };
    const double x = (pushed(p.x, region.box.low.x, region.box.high.x, f.flush[0], f.flush[1], f.hx) - f.x0) / f.hx;
    const double y = (pushed(p.y, region.box.low.y, region.box.high.y, f.flush[2], f.flush[3], f.hy) - f.y0) / f.hy;
    return {(std::floor(x / raster) + 0.5) * raster, (std::floor(y / raster) + 0.3125) * raster};
}

/// A place where an edge passes from one cell to the next.
struct Passage {
    double t = 0.0;
    bool through_x = false;  ///< through a line x = constant
    int line = 0;
};

std::vector<Passage> passages(Point a, Point b) {
    std::vector<Passage> out;
    const auto enter = [&](double from, double to, bool through_x) {
        const int low = static_cast<int>(std::ceil(std::min(from, to)));
        const int high = static_cast<int>(std::floor(std::max(from, to)));
        for (int k = low; k <= high; ++k) out.push_back({(k - from) / (to - from), through_x, k});
    };
    enter(a.x, b.x, true);
    enter(a.y, b.y, false);
    std::sort(out.begin(), out.end(), [](const Passage& p, const Passage& q) { return p.t < q.t; });
    return out;
}

/// Along the border of the unit cell.
double on_border(Point p, bool through_x, bool high) {
    if (through_x) return high ? 1.0 + p.y : 4.0 - p.y;
    return high ? 3.0 - p.x : p.x;
}

/// Walks one curve from cell to cell.
class Walk {
public:
    Walk(const Curve& curve, const Region& region, const Frame& frame, std::vector<Chain>& out)
        : frame_(frame), out_(out) {
        std::vector<Point> points;
        for (const Point& p : curve.points) points.push_back(in_cells(p, region, frame));
        cell_x_ = static_cast<int>(std::floor(points.front().x));
        cell_y_ = static_cast<int>(std::floor(points.front().y));
        begin_chain();
        add(points.front());
        for (std::size_t k = 0; k < points.size(); ++k)
            follow(points[k], points[(k + 1) % points.size()], curve.held[k]);
        finish();
    }

private:
    void begin_chain() {
        chain_ = {};
        chain_.ix = cell_x_;
        chain_.iy = cell_y_;
    }
    [[nodiscard]] Point local(Point p) const {
        return {std::clamp(p.x - cell_x_, 0.0, 1.0), std::clamp(p.y - cell_y_, 0.0, 1.0)};
    }
    void add(Point p) { chain_.points.push_back(local(p)); }

    void follow(Point a, Point b, bool held) {
        for (const Passage& pass : passages(a, b)) {
            const double other = pass.through_x ? a.y + pass.t * (b.y - a.y) : a.x + pass.t * (b.x - a.x);
            const Point at = pass.through_x ? Point{static_cast<double>(pass.line), other}
                                            : Point{other, static_cast<double>(pass.line)};
            const bool up = pass.through_x ? b.x > a.x : b.y > a.y;
            add(at);
            chain_.held.push_back(held);
            chain_.leaves = on_border(chain_.points.back(), pass.through_x, up);
            store();
            (pass.through_x ? cell_x_ : cell_y_) += up ? 1 : -1;
            begin_chain();
            add(at);
            chain_.enters = on_border(chain_.points.back(), pass.through_x, !up);
        }
        add(b);
        chain_.held.push_back(held);
    }
    /// The curve's first chain began somewhere within its cell: the last one leads there.
    void store() {
        if (!first_stored_) {
            first_ = std::move(chain_);
            first_stored_ = true;
        } else {
            keep(std::move(chain_));
        }
    }
    void finish() {
        if (!first_stored_) {
            chain_.points.pop_back();
            chain_.closed = true;
            return keep(std::move(chain_));
        }
        chain_.points.insert(chain_.points.end(), first_.points.begin() + 1, first_.points.end());
        chain_.held.insert(chain_.held.end(), first_.held.begin(), first_.held.end());
        chain_.leaves = first_.leaves;
        keep(std::move(chain_));
    }
    void keep(Chain chain) {
        if (chain.ix < 0 || chain.iy < 0 || chain.ix >= frame_.nx || chain.iy >= frame_.ny) return;
        out_.push_back(std::move(chain));
    }

    const Frame& frame_;
    std::vector<Chain>& out_;
    int cell_x_ = 0, cell_y_ = 0;
    Chain chain_, first_;
    bool first_stored_ = false;
};

}  // namespace

std::vector<Chain> trace(const Region& region, const Frame& frame) {
    std::vector<Chain> chains;
    for (const Curve& curve : region.curves) Walk(curve, region, frame, chains);
    std::stable_sort(chains.begin(), chains.end(),
                     [](const Chain& a, const Chain& b) { return a.iy != b.iy ? a.iy < b.iy : a.ix < b.ix; });
    return chains;
}

std::vector<Point> cusps(const Region& region, const Frame& frame) {
    constexpr double sharp = -0.35;  // rad, to the right: more than any chord of an arc turns
    std::vector<Point> out;
    for (const Curve& curve : region.curves) {
        const std::size_t n = curve.points.size();
        for (std::size_t k = 0; k < n; ++k) {
            if (!curve.held[k] || !curve.held[(k + n - 1) % n]) continue;
            const Point a = curve.points[(k + n - 1) % n], b = curve.points[k], c = curve.points[(k + 1) % n];
            const double ux = b.x - a.x, uy = b.y - a.y, vx = c.x - b.x, vy = c.y - b.y;
            if (std::atan2(ux * vy - uy * vx, ux * vx + uy * vy) < sharp) out.push_back(in_cells(b, region, frame));
        }
    }
    return out;
}

bool row_is_film(const Region& region, const Frame& frame, int iy) {
    const double x = 0.5, y = iy + 0.5;
    const double metres = frame.y0 + y * frame.hy, nudge = 0.25 * frame.hy;  // points are moved by far less
    bool inside = false;
    for (const Curve& curve : region.curves)
        for (std::size_t k = 0; k < curve.points.size(); ++k) {
            const Point &from = curve.points[k], &to = curve.points[(k + 1) % curve.points.size()];
            if (std::max(from.y, to.y) < metres - nudge || std::min(from.y, to.y) > metres + nudge) continue;
            const Point a = in_cells(from, region, frame), b = in_cells(to, region, frame);
            if ((a.y > y) == (b.y > y)) continue;
            if (a.x + (y - a.y) / (b.y - a.y) * (b.x - a.x) < x) inside = !inside;
        }
    return inside;
}

}  // namespace tymbal::spline
