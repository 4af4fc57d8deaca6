#include "cells.h"

#include "tracing.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace tymbal::spline {

namespace {

/// Parts below this share of their cell are dropped: less than the raster of the edges can tell from none.
constexpr double least_share = 1e-7;

/// A length of film on one side of a cell, coordinates rising with x or y.
struct Reach {
    int part = 0;
    Side side = Side::left;
    double from = 0.0, to = 1.0;
};

/// A closed curve of a part within its cell and the pieces of film edge in it.
struct PartShape {
    std::vector<std::vector<Point>> loops;  ///< the outer one first
    std::vector<EdgePiece> held, free;
    std::vector<Reach> reaches;
};

const std::array<Point, 4> corners{{{1.0, 0.0}, {1.0, 1.0}, {0.0, 1.0}, {0.0, 0.0}}};

/// Film on the border from s to t > s (counter-clockwise from the lower left corner), split by sides.
void add_reaches(double s, double t, std::vector<Reach>& out) {
    constexpr std::array<Side, 4> order{Side::bottom, Side::right, Side::top, Side::left};
    for (int side = static_cast<int>(s); static_cast<double>(side) < t; ++side) {
        const double from = std::max(s - side, 0.0), to = std::min(t - side, 1.0);
        if (!(to > from)) continue;
        const Side which = order[static_cast<std::size_t>(side % 4)];
        if (side % 4 < 2)
            out.push_back({0, which, from, to});
        else
            out.push_back({0, which, 1.0 - to, 1.0 - from});
    }
}

void add_edges(const Chain& chain, PartShape& shape) {
    for (std::size_t k = 0; k < chain.held.size(); ++k) {
        const EdgePiece piece{0, chain.points[k], chain.points[(k + 1) % chain.points.size()]};
        (chain.held[k] ? shape.held : shape.free).push_back(piece);
    }
}

bool contains(const std::vector<Point>& loop, Point p) {
    bool inside = false;
    for (std::size_t k = 0; k < loop.size(); ++k) {
        const Point a = loop[k], b = loop[(k + 1) % loop.size()];
        if ((a.y > p.y) != (b.y > p.y) && a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x) < p.x) inside = !inside;
    }
    return inside;
}

/// Joins chains along the cell's border to the outlines of its parts.
class Joining {
public:
    Joining(const Chain* first, const Chain* last) {
        for (const Chain* c = first; c != last; ++c) (c->closed ? closed_ : open_).push_back(c);
        std::sort(open_.begin(), open_.end(), [](const Chain* a, const Chain* b) { return a->enters < b->enters; });
        used_.assign(open_.size(), false);
    }
    /// @param film_outside_chains  is the cell film where no chain reaches its border?
    std::vector<PartShape> parts(bool film_outside_chains) {
        std::vector<PartShape> out;
        for (std::size_t k = 0; k < open_.size(); ++k)
            if (!used_[k]) out.push_back(loop_from(k));
        if (open_.empty() && film_outside_chains) {
            PartShape whole;
            whole.loops.push_back({{0.0, 0.0}, {1.0, 0.0}, {1.0, 1.0}, {0.0, 1.0}});
            add_reaches(0.0, 4.0, whole.reaches);
            out.push_back(std::move(whole));
        }
        for (const Chain* hole : closed_) {
            const auto owner = std::find_if(out.begin(), out.end(), [&](const PartShape& p) {
                return contains(p.loops.front(), hole->points.front());
            });
            if (owner == out.end()) continue;  // a speck of its own inside one cell
            owner->loops.push_back(hole->points);
            add_edges(*hole, *owner);
        }
        return out;
    }

private:
    PartShape loop_from(std::size_t start) {
        PartShape shape;
        std::vector<Point> loop;
        std::size_t k = start;
        do {
            used_[k] = true;
            const Chain& chain = *open_[k];
            loop.insert(loop.end(), chain.points.begin(), chain.points.end());
            add_edges(chain, shape);
            const std::size_t next = next_entry(chain.leaves);
            double to = open_[next]->enters;
            if (to < chain.leaves) to += 4.0;
            for (int corner = static_cast<int>(chain.leaves); corner + 1 < to; ++corner)
                loop.push_back(corners[static_cast<std::size_t>(corner % 4)]);
            add_reaches(chain.leaves, to, shape.reaches);
            k = next;
        } while (k != start && !used_[k]);
        shape.loops.push_back(std::move(loop));
        return shape;
    }
    [[nodiscard]] std::size_t next_entry(double from) const {
        const auto found =
            std::lower_bound(open_.begin(), open_.end(), from, [](const Chain* c, double s) { return c->enters < s; });
        return found == open_.end() ? 0 : static_cast<std::size_t>(found - open_.begin());
    }

    std::vector<const Chain*> open_, closed_;
    std::vector<bool> used_;
};

using Row = std::array<double, gauss_count>;

/// The polynomials that are 1 at one Gauss point and 0 at the others, and their integrals from 0, by powers.
class Lagrange {
public:
    Lagrange() {
        for (std::size_t i = 0; i < gauss_count; ++i) {
            Row poly{};
            poly[0] = 1.0;
            for (std::size_t j = 0; j < gauss_count; ++j) {
                if (j == i) continue;
                const double scale = 1.0 / (gauss().at[i] - gauss().at[j]);
                Row next{};
                for (std::size_t k = 0; k < gauss_count; ++k) {
                    next[k] -= scale * gauss().at[j] * poly[k];
                    if (k + 1 < gauss_count) next[k + 1] += scale * poly[k];
                }
                poly = next;
            }
            powers_[i] = poly;
        }
    }
    [[nodiscard]] Row values(double t) const {
        return sums(t, [](std::size_t) { return 1.0; });
    }
    /// Integrals from 0 to t.
    [[nodiscard]] Row integrals(double t) const {
        Row out = sums(t, [](std::size_t k) { return 1.0 / static_cast<double>(k + 1); });
        for (double& v : out) v *= t;
        return out;
    }

private:
    template <class Factor>
    [[nodiscard]] Row sums(double t, Factor factor) const {
        Row out{};
        for (std::size_t i = 0; i < gauss_count; ++i)
            for (std::size_t k = gauss_count; k-- > 0;) out[i] = out[i] * t + factor(k) * powers_[i][k];
        return out;
    }
    std::array<Row, gauss_count> powers_;
};

/// Weights that integrate every polynomial up to degree 5 in x and y over the inside of the loops exactly, by Green's
/// theorem: Int L_i(x) L_j(y) dA = Closed Int L_j(y) [Int_0^x L_i] dy.
Weights moments(const std::vector<std::vector<Point>>& loops) {
    static const Lagrange lagrange;
    Weights out = Weights::Zero();
    for (const auto& loop : loops)
        for (std::size_t k = 0; k < loop.size(); ++k) {
            const Point a = loop[k], b = loop[(k + 1) % loop.size()];
            const double rise = b.y - a.y;
            if (rise == 0.0) continue;
            for (std::size_t q = 0; q < gauss_count; ++q) {
                const double t = gauss().at[q];
                const Row along_y = lagrange.values(a.y + t * rise);
                const Row along_x = lagrange.integrals(a.x + t * (b.x - a.x));
                for (std::size_t j = 0; j < gauss_count; ++j) {
                    const double factor = gauss().weight[q] * rise * along_y[j];
                    for (std::size_t i = 0; i < gauss_count; ++i)
                        out[static_cast<Eigen::Index>(j * gauss_count + i)] += factor * along_x[i];
                }
            }
        }
    return out;
}

/// Lays the parts of the cells out row by row.
class Layout {
public:
    Layout(const Region& region, const Frame& frame) : region_(region), chains_(trace(region, frame)) {
        out_.frame = frame;
        out_.cusps = cusps(region, frame);
        std::sort(out_.cusps.begin(), out_.cusps.end(), [](const Point& a, const Point& b) { return a.x < b.x; });
    }
    Cells run() {
        std::size_t next = 0;
        for (int iy = 0; iy < out_.frame.ny; ++iy) {
            out_.row_first.push_back(count());
            const std::size_t first = next;
            while (next < chains_.size() && chains_[next].iy == iy) ++next;
            row(iy, first, next);
        }
        out_.row_first.push_back(count());
        join_across();
        return std::move(out_);
    }

private:
    [[nodiscard]] int count() const { return static_cast<int>(out_.parts.size()); }

    void whole(int ix, int iy) {
        const int part = count();
        out_.parts.push_back({ix, iy, -1, 1.0});
        for (const Side side : {Side::left, Side::right, Side::bottom, Side::top})
            reaches_.push_back({part, side, 0.0, 1.0});
    }

    void row(int iy, std::size_t first, std::size_t last) {
        if (first == last) {
            if (row_is_film(region_, out_.frame, iy))
                for (int ix = 0; ix < out_.frame.nx; ++ix) whole(ix, iy);
            return;
        }
        int done = 0;        // cells of this row
        bool film = false;   // is the face on the left of cell `done` film throughout?
        bool known = false;  // the first cell's left face is known from its own chains only
        while (first < last) {
            std::size_t end = first;
            while (end < last && chains_[end].ix == chains_[first].ix) ++end;
            const int ix = chains_[first].ix;
            const bool bordered = std::any_of(chains_.begin() + static_cast<std::ptrdiff_t>(first),
                                              chains_.begin() + static_cast<std::ptrdiff_t>(end),
                                              [](const Chain& c) { return !c.closed; });
            if (!bordered && !known) film = row_is_film(region_, out_.frame, iy);
            std::vector<PartShape> shapes = Joining(&chains_[first], &chains_[first] + (end - first)).parts(film);
            if (!known && bordered) film = reaches_fully(shapes, Side::left);
            for (int between = done; between < ix && film; ++between) whole(between, iy);
            film = reaches_fully(shapes, Side::right);
            for (PartShape& shape : shapes) place(ix, iy, shape);
            known = true;
            done = ix + 1;
            first = end;
        }
        for (; done < out_.frame.nx && film; ++done) whole(done, iy);
    }

    static bool reaches_fully(const std::vector<PartShape>& shapes, Side side) {
        for (const PartShape& shape : shapes)
            for (const Reach& r : shape.reaches)
                if (r.side == side && r.from == 0.0 && r.to == 1.0) return true;
        return false;
    }

    void place(int ix, int iy, PartShape& shape) {
        const Weights weights = moments(shape.loops);
        const double share = weights.sum();
        if (share < least_share) return;
        const int part = count();
        const bool whole_share = (weights - whole_cell()).cwiseAbs().maxCoeff() < 1e-10;
        out_.parts.push_back({ix, iy, whole_share ? -1 : static_cast<int>(out_.weights.size()), share});
        if (!whole_share) out_.weights.push_back(weights);
        for (EdgePiece& e : shape.held) e.part = part;
        for (EdgePiece& e : shape.free) e.part = part;
        for (Reach& r : shape.reaches) r.part = part;
        out_.held_edges.insert(out_.held_edges.end(), shape.held.begin(), shape.held.end());
        out_.free_edges.insert(out_.free_edges.end(), shape.free.begin(), shape.free.end());
        reaches_.insert(reaches_.end(), shape.reaches.begin(), shape.reaches.end());
    }

    /// Reaches of the parts of one row in one direction, sorted by cell.
    [[nodiscard]] std::vector<Reach> on_side(Side side) const {
        std::vector<Reach> out;
        for (const Reach& r : reaches_)
            if (r.side == side) out.push_back(r);
        return out;
    }

    /// Film on both sides of a face: its lengths overlap.
    template <class Cell>
    void join(Side low, Side high, Cell cell_of, std::vector<std::array<int, 2>>& pairs) {
        const std::vector<Reach> from = on_side(low), to = on_side(high);
        std::size_t first = 0;
        for (const Reach& a : from) {
            const auto wanted = cell_of(out_.parts[static_cast<std::size_t>(a.part)], true);
            while (first < to.size() && cell_of(out_.parts[static_cast<std::size_t>(to[first].part)], false) < wanted)
                ++first;
            for (std::size_t k = first;
                 k < to.size() && cell_of(out_.parts[static_cast<std::size_t>(to[k].part)], false) == wanted; ++k)
                if (std::min(a.to, to[k].to) - std::max(a.from, to[k].from) > 1e-9)
                    pairs.push_back({a.part, to[k].part});
        }
        std::sort(pairs.begin(), pairs.end());
        pairs.erase(std::unique(pairs.begin(), pairs.end()), pairs.end());
    }
    void join_across() {
        const std::int64_t columns = out_.frame.nx + 2;
        join(
            Side::right, Side::left, [&](const Part& p, bool here) { return p.iy * columns + p.ix + (here ? 1 : 0); },
            out_.beside);
        join(
            Side::top, Side::bottom, [&](const Part& p, bool here) { return (p.iy + (here ? 1 : 0)) * columns + p.ix; },
            out_.above);
        for (const Reach& r : reaches_) {
            const Part& p = out_.parts[static_cast<std::size_t>(r.part)];
            const std::array<bool, 4> ends{p.ix == 0, p.ix == out_.frame.nx - 1, p.iy == 0, p.iy == out_.frame.ny - 1};
            const auto side = static_cast<std::size_t>(r.side);
            if (ends[side] && out_.frame.held[side]) out_.held_sides.push_back({r.part, r.side, r.from, r.to});
        }
    }

    const Region& region_;
    std::vector<Chain> chains_;
    std::vector<Reach> reaches_;
    Cells out_;
};

/// Does a straight chord run along this side of the box? Told for held and for free ones.
struct Flush {
    bool any = false, held = false;
};

Flush flush_on(const Region& region, bool along_y, double level) {
    const double near = 1e-9 * std::max(region.box.high.x - region.box.low.x, region.box.high.y - region.box.low.y);
    Flush out;
    for (const Curve& curve : region.curves)
        for (std::size_t k = 0; k < curve.points.size(); ++k) {
            const Point a = curve.points[k], b = curve.points[(k + 1) % curve.points.size()];
            const double off_a = along_y ? a.x - level : a.y - level, off_b = along_y ? b.x - level : b.y - level;
            if (std::abs(off_a) > near || std::abs(off_b) > near) continue;
            const double length = along_y ? std::abs(a.y - b.y) : std::abs(a.x - b.x);
            if (length < 1e3 * near) continue;
            out.any = true;
            out.held = out.held || curve.held[k];
        }
    return out;
}

struct Axis {
    double start = 0.0, spacing = 0.0;
    int count = 0;
};

/// Cells between two ends: flush ends fall on grid lines, others lie within their cell.
Axis axis(double low, double high, const std::array<bool, 2>& flush, double spacing, int multiple) {
    const double length = high - low;
    if (flush[0] && flush[1]) {
        const int n = std::max(2, multiple * static_cast<int>(std::lround(length / spacing / multiple)));
        return {low, length / n, n};
    }
    const int least = static_cast<int>(std::ceil(length / spacing)) + 1;
    const int n = (least + multiple - 1) / multiple * multiple;
    if (flush[0]) return {low, spacing, n};
    if (flush[1]) return {high - n * spacing, spacing, n};
    return {0.5 * (low + high) - 0.5 * n * spacing, spacing, n};
}

}  // namespace

Frame frame_of(const Region& region, double spacing, int multiple) {
    const Box& box = region.box;
    const std::array<Flush, 4> sides{flush_on(region, true, box.low.x), flush_on(region, true, box.high.x),
                                     flush_on(region, false, box.low.y), flush_on(region, false, box.high.y)};
    const Axis x = axis(box.low.x, box.high.x, {sides[0].any, sides[1].any}, spacing, multiple);
    const Axis y = axis(box.low.y, box.high.y, {sides[2].any, sides[3].any}, spacing, multiple);
    Frame frame{x.start, y.start, x.spacing, y.spacing, x.count, y.count, {}, {}};
    for (std::size_t s = 0; s < 4; ++s) {
        frame.flush[s] = sides[s].any;
        frame.held[s] = sides[s].held;
    }
    return frame;
}

double Cells::area() const {
    double sum = 0.0;
    for (const Part& p : parts) sum += p.share;
    return sum * frame.hx * frame.hy;
}

Cells cut_cells(const Region& region, const Frame& frame) {
    return Layout(region, frame).run();
}

}  // namespace tymbal::spline
