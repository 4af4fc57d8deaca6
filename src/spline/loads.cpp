#include "loads.h"

#include "tymbal/base/constants.h"

#include <algorithm>
#include <cmath>

namespace tymbal::spline {

namespace {

constexpr double reach = 4.0;  ///< of a spot, in radii: beyond lies exp(-32) of its height

void add_local(const Space& space, std::size_t part, const Local& pushed, Vector& load) {
    const PartUnknowns& u = space.parts[part];
    for (std::size_t k = 0; k < per_cell; ++k) load[u.unknown[k]] += u.sign[k] * pushed[static_cast<Eigen::Index>(k)];
}

double intensity(const Spot& spot, Point at) {
    const double off = std::hypot(at.x - spot.centre.x, at.y - spot.centre.y) / spot.radius;
    return 2.0 / (constants::pi * spot.radius * spot.radius) * std::exp(-2.0 * off * off);
}

bool reaches(const Spot& spot, const Cells& cells, const Part& part) {
    const Point low = cells.place(part, 0.0, 0.0), high = cells.place(part, 1.0, 1.0);
    const double dx = std::max({low.x - spot.centre.x, spot.centre.x - high.x, 0.0});
    const double dy = std::max({low.y - spot.centre.y, spot.centre.y - high.y, 0.0});
    return std::hypot(dx, dy) < reach * spot.radius;
}

/// Splines and intensity at the Gauss points of a cell that is cut `fine` times along each side.
Local whole_cell_load(const Cells& cells, const Part& part, const Spot& spot, int fine) {
    Local sum = Local::Zero();
    const Gauss& g = gauss();
    for (int j = 0; j < fine; ++j)
        for (int i = 0; i < fine; ++i)
            for (std::size_t q = 0; q < point_count; ++q) {
                const double x = (i + g.at[q % gauss_count]) / fine, y = (j + g.at[q / gauss_count]) / fine;
                const double weight = g.weight[q % gauss_count] * g.weight[q / gauss_count] / (fine * fine);
                sum += weight * intensity(spot, cells.place(part, x, y)) * splines_at(x, y, 0, 0);
            }
    return sum;
}

/// On the cell's own points alone: its weights know where film is.
Local cut_cell_load(const Cells& cells, const Part& part, const Spot& spot) {
    Weights w = cells.weights_of(part);
    const Gauss& g = gauss();
    for (std::size_t q = 0; q < point_count; ++q)
        w[static_cast<Eigen::Index>(q)] *=
            intensity(spot, cells.place(part, g.at[q % gauss_count], g.at[q / gauss_count]));
    return cell_basis().w.transpose() * w;
}

}  // namespace

Vector pressure_load(const Cells& cells, const Space& space) {
    const double cell = cells.frame.hx * cells.frame.hy;
    Vector load = Vector::Zero(space.size);
    for (std::size_t p = 0; p < cells.parts.size(); ++p)
        add_local(space, p, cell_basis().w.transpose() * cells.weights_of(cells.parts[p]) * cell, load);
    return load;
}

Vector spot_load(const Cells& cells, const Space& space, const Spot& spot) {
    constexpr double most_fine = 64.0;
    const Frame& f = cells.frame;
    // Two spacings of points to the radius: the Gauss points of each piece then see the spot to rounding.
    const int fine = static_cast<int>(std::clamp(std::ceil(std::max(f.hx, f.hy) / spot.radius), 1.0, most_fine));
    Vector load = Vector::Zero(space.size);
    double total = 0.0;
    for (std::size_t p = 0; p < cells.parts.size(); ++p) {
        const Part& part = cells.parts[p];
        if (!reaches(spot, cells, part)) continue;
        const Local pushed =
            f.hx * f.hy * (part.cut < 0 ? whole_cell_load(cells, part, spot, fine) : cut_cell_load(cells, part, spot));
        add_local(space, p, pushed, load);
        total += pushed.sum();  // the splines of a cell add up to one
    }
    return total > 0.0 ? Vector(load / total) : load;
}

}  // namespace tymbal::spline
