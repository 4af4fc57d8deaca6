#include "changed_film.h"

#include "plane_balance.h"
#include "plate.h"

namespace tymbal::spline {

Vector squares_after(const SolvedGrid& g, const Change& change) {
    Cells cells = g.cells;
    cells.frame.x0 *= change.along_x;
    cells.frame.hx *= change.along_x;
    cells.frame.y0 *= change.along_y;
    cells.frame.hy *= change.along_y;
    const Plate p = plate(cells, g.space, relax(cells, g.space, change.sheet));
    Vector out(g.values.size());
    for (Eigen::Index k = 0; k < out.size(); ++k) {
        const auto v = g.vectors.col(k);
        out[k] =
            v.dot(p.stiffness.selfadjointView<Eigen::Lower>() * v) / v.dot(p.mass.selfadjointView<Eigen::Lower>() * v);
    }
    return out;
}

}  // namespace tymbal::spline
