#include "assembly.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace tymbal::spline {

namespace {

constexpr std::size_t rim_gauss = 3;
/// Gauss-Legendre on [0, 1]. Source: Abramowitz and Stegun, table 25.4 (from memory).
constexpr std::array<double, rim_gauss> rim_at{0.1127016653792583, 0.5, 0.8872983346207417};
constexpr std::array<double, rim_gauss> rim_weight{5.0 / 18.0, 8.0 / 18.0, 5.0 / 18.0};

RimPoint on_side(const Frame& f, const SidePiece& piece, std::size_t q) {
    const double along = piece.from + (piece.to - piece.from) * rim_at[q];
    const double share = (piece.to - piece.from) * rim_weight[q];
    const auto part = static_cast<std::size_t>(piece.part);
    switch (piece.side) {
        case Side::left: return {part, {0.0, along}, {-1.0, 0.0}, share * f.hy, f.hx, true, false};
        case Side::right: return {part, {1.0, along}, {1.0, 0.0}, share * f.hy, f.hx, true, false};
        case Side::bottom: return {part, {along, 0.0}, {0.0, -1.0}, share * f.hx, f.hy, true, false};
        case Side::top: return {part, {along, 1.0}, {0.0, 1.0}, share * f.hx, f.hy, true, false};
    }
    return {};
}

/// The spring belongs to a straight rim; within this many cells of a cusp the film turns round the corner instead. The
/// value was chosen on scalloped fronts (tests/spline).
constexpr double cusp_reach = 0.2;

bool near_cusp(const std::vector<Point>& cusps, Point p) {
    auto c = std::lower_bound(cusps.begin(), cusps.end(), p.x - cusp_reach,
                              [](const Point& q, double x) { return q.x < x; });
    for (; c != cusps.end() && c->x <= p.x + cusp_reach; ++c)
        if (std::hypot(c->x - p.x, c->y - p.y) < cusp_reach) return true;
    return false;
}

/// Two faces' spline numbers: the four splines across, the three along.
struct Face {
    std::array<std::array<int, per_side>, per_side + 1> unknown{};
    std::array<std::array<double, per_side>, per_side + 1> sign{};
};

Face face_of(const Space& space, const std::array<int, 2>& pair, bool beside) {
    const PartUnknowns& a = space.parts[static_cast<std::size_t>(pair[0])];
    const PartUnknowns& b = space.parts[static_cast<std::size_t>(pair[1])];
    Face face;
    for (std::size_t across = 0; across <= per_side; ++across)
        for (std::size_t along = 0; along < per_side; ++along) {
            const PartUnknowns& from = across < per_side ? a : b;
            const std::size_t c = across < per_side ? across : per_side - 1;
            const std::size_t k = beside ? along * per_side + c : c * per_side + along;
            face.unknown[across][along] = from.unknown[k];
            face.sign[across][along] = from.sign[k];
        }
    return face;
}

/// Int of products of the splines along a face of unit length.
Eigen::Matrix3d along_face() {
    Eigen::Matrix3d m = Eigen::Matrix3d::Zero();
    for (std::size_t q = 0; q < gauss_count; ++q) {
        const Line s = splines(gauss().at[q], 0);
        const Eigen::Vector3d v(s[0], s[1], s[2]);
        m += gauss().weight[q] * v * v.transpose();
    }
    return m;
}

}  // namespace

void Sum::find(std::size_t part) {
    if (found_ == part) return;
    found_ = part;
    const auto& u = space_.parts[part].unknown;
    for (std::size_t i = 0; i < per_cell; ++i)
        for (std::size_t j = 0; j < per_cell; ++j) entry_[i * per_cell + j] = sum_.pattern->entry(u[i], u[j]);
}

void Sum::add(std::size_t part, const LocalMatrix& local, int row, int column) {
    find(part);
    const auto& sign = space_.parts[part].sign;
    const auto place = [&](std::size_t i, std::size_t j, int r, int c) -> double& {
        return sum_.value[static_cast<std::size_t>(entry_[i * per_cell + j] * sum_.block() + r * sum_.fields + c)];
    };
    for (std::size_t i = 0; i < per_cell; ++i)
        for (std::size_t j = 0; j < per_cell; ++j) {
            const double value = sign[i] * sign[j] * local(static_cast<Eigen::Index>(i), static_cast<Eigen::Index>(j));
            place(j, i, column, row) += value;
            if (row != column) place(i, j, row, column) += value;
        }
}

void Sum::add_entry(int row, int column, double value) {
    const std::int64_t at = sum_.pattern->entry(row, column) * sum_.block();
    for (int f = 0; f < sum_.fields; ++f) sum_.value[static_cast<std::size_t>(at + f * sum_.fields + f)] += value;
}

std::vector<RimPoint> rim_points(const Cells& cells) {
    const Frame& f = cells.frame;
    std::vector<RimPoint> out;
    for (const SidePiece& piece : cells.held_sides)
        for (std::size_t q = 0; q < rim_gauss; ++q) out.push_back(on_side(f, piece, q));
    for (const EdgePiece& e : cells.held_edges) {
        const double dx = (e.b.x - e.a.x) * f.hx, dy = (e.b.y - e.a.y) * f.hy, length = std::hypot(dx, dy);
        if (!(length > 0.0)) continue;
        const Point normal{dy / length, -dx / length};
        const Part& part = cells.parts[static_cast<std::size_t>(e.part)];
        const double spacing = std::max(std::abs(normal.x) * f.hx, std::abs(normal.y) * f.hy);
        for (std::size_t q = 0; q < rim_gauss; ++q) {
            const double t = rim_at[q];
            const Point at{e.a.x + t * (e.b.x - e.a.x), e.a.y + t * (e.b.y - e.a.y)};
            out.push_back({static_cast<std::size_t>(e.part), at, normal, length * rim_weight[q], spacing, false,
                           near_cusp(cells.cusps, {part.ix + at.x, part.iy + at.y})});
        }
    }
    return out;
}

LocalBasis local_basis(const Frame& frame, Point at) {
    return {splines_at(at.x, at.y, 0, 0), splines_at(at.x, at.y, 1, 0) / frame.hx,
            splines_at(at.x, at.y, 0, 1) / frame.hy};
}

void add_ghost(const Cells& cells, const Space& space, double scale, double strength, Sum& sum) {
    constexpr std::array<double, per_side + 1> jump{1.0, -3.0, 3.0, -1.0};
    static const Eigen::Matrix3d along = along_face();
    std::vector<bool> at_rim(cells.parts.size(), false);
    for (const EdgePiece& e : cells.held_edges) at_rim[static_cast<std::size_t>(e.part)] = true;
    const auto add = [&](const std::array<int, 2>& pair, bool beside) {
        const auto a = static_cast<std::size_t>(pair[0]), b = static_cast<std::size_t>(pair[1]);
        if (!ghost_joins(cells, pair)) return;
        const double factor = scale * (at_rim[a] || at_rim[b] ? ghost_held : strength);
        const Face face = face_of(space, pair, beside);
        for (std::size_t i = 0; i <= per_side; ++i)
            for (std::size_t k = 0; k < per_side; ++k)
                for (std::size_t j = 0; j <= per_side; ++j)
                    for (std::size_t l = 0; l < per_side; ++l) {
                        const double value = factor * jump[i] * jump[j] * face.sign[i][k] * face.sign[j][l] *
                                             along(static_cast<Eigen::Index>(k), static_cast<Eigen::Index>(l));
                        sum.add_entry(face.unknown[i][k], face.unknown[j][l], value);
                    }
    };
    for (const auto& pair : cells.beside) add(pair, true);
    for (const auto& pair : cells.above) add(pair, false);
}

}  // namespace tymbal::spline
