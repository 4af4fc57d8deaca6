#include "film_picture.h"

#include "../spline/shapes.h"
#include "open_film.h"

#include <cmath>
#include <vector>

namespace tymbal {

namespace {

/// Tension at the middle of each cell, times the cell's share of film.
TensionField tension_of(const spline::FilmModes& found, const Grid& grid, const std::vector<double>& film) {
    TensionField field{grid, CellTensor(film.size()), std::vector<bool>(film.size(), false)};
    std::vector<Point> middles;
    std::vector<std::size_t> cells;
    for (int j = 0; j + 1 < grid.rows; ++j)
        for (int i = 0; i + 1 < grid.columns; ++i) {
            const auto c = static_cast<std::size_t>(grid.cell(i, j));
            if (film[c] <= 0.0) continue;
            middles.push_back(grid.cell_centre(i, j));
            cells.push_back(c);
        }
    const auto tension = spline::tension_at(found.grid.cells, found.grid.space, found.grid.plane, middles);
    for (std::size_t k = 0; k < cells.size(); ++k) {
        if (!tension[k]) continue;
        const double share = film[cells[k]];
        field.tension[cells[k]] = {share * tension[k]->xx, share * tension[k]->yy, share * tension[k]->xy};
        field.known[cells[k]] = true;
    }
    extend(field);
    return field;
}

/// The corners of a node have what their cells have.
CornerTensor corners_of(const TensionField& field, const Grid& grid) {
    CornerTensor corners(4 * grid.nodes.size());
    for (std::size_t n = 0; n < grid.nodes.size(); ++n)
        for (std::size_t c = 0; c < 4; ++c) {
            const Quadrant q = quadrant(grid, static_cast<int>(n), c / 2, 2 + c % 2);
            if (field.known[q.cell]) corners[4 * n + c] = field.tension[q.cell];
        }
    return corners;
}

/// Shapes at the level's nodes, w' M w = 1 there.
void take_shapes(const spline::FilmModes& found, Level& level) {
    std::vector<Point> nodes;
    for (const Node& n : level.grid.nodes) nodes.push_back(level.grid.place(n));
    level.shapes = spline::shapes_at(found.grid.cells, found.grid.space, found.vectors(), nodes);
    level.values = found.squares.back();
    for (Eigen::Index k = 0; k < level.shapes.cols(); ++k)
        level.shapes.col(k) /= std::sqrt(level.shapes.col(k).dot(level.mass.cwiseProduct(level.shapes.col(k))));
}

}  // namespace

Level film_picture(const spline::FilmModes& found, const ModeProblem& problem, int cells_x, int cells_y) {
    Level level = lay_open_film(problem, cells_x, cells_y);
    level.tension = tension_of(found, level.grid, level.held_film);
    level.corners = corners_of(level.tension, level.grid);
    level.peak = {found.peak.value / problem.film.thickness, found.grid.peak_at};
    take_shapes(found, level);
    return level;
}

}  // namespace tymbal
