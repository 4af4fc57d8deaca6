// Sums of local matrices, and what several forms share: gradients at a point, edges with their normals, the ghost term.
#pragma once

#include "pattern.h"
#include "rim_spring.h"

#include "../base/in_parallel.h"

#include <algorithm>
#include <memory>
#include <vector>

namespace tymbal::spline {

/// Collects local matrices of parts into a global one.
class Sum {
public:
    /// @param fields  unknowns per coefficient: 1, or 2 for a displacement in the plane
    Sum(const Space& space, std::shared_ptr<const Pattern> pattern, int fields = 1)
        : space_(space), sum_(std::move(pattern), fields) {}
    /// Adds the block of a part between two fields (row, column); with row != column its transpose is added as well.
    void add(std::size_t part, const LocalMatrix& local, int row = 0, int column = 0);
    /// Adds to one entry, the same for each field.
    void add_entry(int row, int column, double value);
    [[nodiscard]] Rows take() { return std::move(sum_); }

private:
    void find(std::size_t part);

    const Space& space_;
    Rows sum_;
    std::size_t found_ = static_cast<std::size_t>(-1);       ///< part whose entries are known
    std::array<std::int64_t, per_cell * per_cell> entry_{};  ///< of that part, row-major
};

/// Works out what each part has, some thousand parts at a time on several threads, and adds it in their order.
template <class Local, class Make, class Add>
void for_each_local(std::size_t parts, unsigned threads, Make make, Add add) {
    constexpr std::size_t batch = 4096, item = 64;
    std::vector<Local> made(std::min(parts, batch));
    for (std::size_t first = 0; first < parts; first += batch) {
        const std::size_t count = std::min(batch, parts - first);
        in_parallel((count + item - 1) / item, threads, [&](std::size_t i) {
            for (std::size_t k = i * item; k < std::min(count, (i + 1) * item); ++k) made[k] = make(first + k);
        });
        for (std::size_t k = 0; k < count; ++k) add(first + k, made[k]);
    }
}

/// A quadrature point on a held rim.
struct RimPoint {
    std::size_t part = 0;
    Point at;              ///< within the cell
    Point normal;          ///< unit, out of the film
    double weight = 0.0;   ///< m
    double spacing = 0.0;  ///< across the rim, m
    bool on_line = false;  ///< the rim is a grid line, w = 0 strongly
    bool at_cusp = false;  ///< too near a cusp for a straight rim's spring
};

[[nodiscard]] std::vector<RimPoint> rim_points(const Cells& cells);

/// Calls visit(first, last) for each run of points that lie in one part.
template <class Visit>
void for_each_part(const std::vector<RimPoint>& points, Visit visit) {
    for (std::size_t first = 0, last = 0; first < points.size(); first = last) {
        while (last < points.size() && points[last].part == points[first].part) ++last;
        visit(first, last);
    }
}

/// Values and gradient (per metre) of the splines of a cell at a point.
struct LocalBasis {
    Local w, x, y;
};
[[nodiscard]] LocalBasis local_basis(const Frame& frame, Point at);

/// Ghost term: on faces between parts of which one is cut, the squared jump of the second normal derivative, so that a
/// cell of which next to nothing is film does not leave its unknowns free. It is of the order of the discretisation
/// error.
/// @param strength  of faces whose parts are cut by free edges; those at a held rim have ghost_held
/// Source of the idea: Burman, C. R. Math. 348, 1217 (2010) (from memory).
void add_ghost(const Cells& cells, const Space& space, double scale, double strength, Sum& sum);

constexpr double ghost_free = 1e-4;

}  // namespace tymbal::spline
