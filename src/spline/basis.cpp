#include "basis.h"

#include "tymbal/base/constants.h"

#include <cmath>

namespace tymbal::spline {

namespace {

/// Newton's iteration on the Legendre polynomial. Source: Abramowitz and Stegun 25.4.29 (from memory).
Gauss make_gauss() {
    Gauss out;
    constexpr int n = gauss_count;
    for (int i = 0; i < n; ++i) {
        double x = std::cos(constants::pi * (i + 0.75) / (n + 0.5)), slope = 0.0;
        for (int step = 0; step < 50; ++step) {
            double before = 1.0, here = x;
            for (int k = 2; k <= n; ++k) {
                const double next = ((2.0 * k - 1.0) * x * here - (k - 1.0) * before) / k;
                before = here;
                here = next;
            }
            slope = n * (x * here - before) / (x * x - 1.0);
            x -= here / slope;
        }
        const auto at = static_cast<std::size_t>(n - 1 - i);
        out.at[at] = 0.5 * (1.0 + x);
        out.weight[at] = 1.0 / ((1.0 - x * x) * slope * slope);
    }
    return out;
}

AtPoints at_points(int dx, int dy) {
    AtPoints out;
    for (int qy = 0; qy < gauss_count; ++qy)
        for (int qx = 0; qx < gauss_count; ++qx)
            out.row(qy * gauss_count + qx) =
                splines_at(gauss().at[static_cast<std::size_t>(qx)], gauss().at[static_cast<std::size_t>(qy)], dx, dy)
                    .transpose();
    return out;
}

Weights make_whole_cell() {
    Weights out;
    for (int qy = 0; qy < gauss_count; ++qy)
        for (int qx = 0; qx < gauss_count; ++qx)
            out[qy * gauss_count + qx] =
                gauss().weight[static_cast<std::size_t>(qx)] * gauss().weight[static_cast<std::size_t>(qy)];
    return out;
}

}  // namespace

Local splines_at(double x, double y, int dx, int dy) {
    const Line along_x = splines(x, dx), along_y = splines(y, dy);
    Local out;
    for (int by = 0; by < per_side; ++by)
        for (int bx = 0; bx < per_side; ++bx)
            out[by * per_side + bx] = along_y[static_cast<std::size_t>(by)] * along_x[static_cast<std::size_t>(bx)];
    return out;
}

const Gauss& gauss() {
    static const Gauss points = make_gauss();
    return points;
}

const CellBasis& cell_basis() {
    static const CellBasis basis{at_points(0, 0), at_points(1, 0), at_points(0, 1),
                                 at_points(2, 0), at_points(0, 2), at_points(1, 1)};
    return basis;
}

const Weights& whole_cell() {
    static const Weights weights = make_whole_cell();
    return weights;
}

}  // namespace tymbal::spline
