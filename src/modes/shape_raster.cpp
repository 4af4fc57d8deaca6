#include "shape_raster.h"

#include <utility>

namespace tymbal {

std::vector<bool> open_points(const Outline& outline, const Level& level) {
    if (!level.holes_resolved) return {};
    const Grid whole = make_grid(boundary(outline), level.cells_x, level.cells_y);
    std::vector<bool> open(whole.number.size());
    for (std::size_t p = 0; p < open.size(); ++p) open[p] = whole.number[p] >= 0 && level.grid.number[p] < 0;
    return open;
}

ShapeRaster shape_raster(const Grid& grid, const Vector& w, double top, std::vector<bool> open) {
    ShapeRaster out{
        grid.columns,   grid.rows, grid.x0, grid.y0, grid.dx, grid.dy, std::vector<double>(grid.number.size(), 0.0),
        std::move(open)};
    for (std::size_t n = 0; n < grid.nodes.size(); ++n)
        out.w[static_cast<std::size_t>(grid.nodes[n].i + grid.columns * grid.nodes[n].j)] =
            w[static_cast<Eigen::Index>(n)] / top;
    return out;
}

}  // namespace tymbal
