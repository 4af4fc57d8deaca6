#include "tymbal/pattern/drawing.h"

#include <algorithm>
#include <limits>

namespace tymbal {

namespace {

constexpr int far = std::numeric_limits<int>::max();

void widen(DrawnBox& box, DrawnPoint p) {
    box.low = {std::min(box.low.x, p.x), std::min(box.low.y, p.y)};
    box.high = {std::max(box.high.x, p.x), std::max(box.high.y, p.y)};
}

DrawnPoint copy_at(const Placement& p, int column, int row) {
    return {p.at.x + column * p.column_step.x + row * p.row_step.x,
            p.at.y + column * p.column_step.y + row * p.row_step.y};
}

DrawnBox extent_over(const DrawnCell& cell, const std::vector<DrawnBox>& placed) {
    DrawnBox box{{far, far}, {-far, -far}};
    for (const DrawnFigure& figure : cell.figures)
        for (const DrawnPoint p : figure.corners) widen(box, p);
    for (const Placement& p : cell.placements) {
        const DrawnBox& own = placed[p.cell];
        for (const int column : {0, p.columns - 1})
            for (const int row : {0, p.rows - 1}) {
                const DrawnPoint at = copy_at(p, column, row);
                widen(box, {at.x + own.low.x, at.y + own.low.y});
                widen(box, {at.x + own.high.x, at.y + own.high.y});
            }
    }
    return box;
}

}  // namespace

DrawnBox extent(const Drawing& drawing, std::size_t cell) {
    std::vector<DrawnBox> boxes;
    for (std::size_t k = 0; k <= cell; ++k) boxes.push_back(extent_over(drawing.cells[k], boxes));
    return boxes[cell];
}

std::vector<DrawnPoint> copies(const Placement& p) {
    std::vector<DrawnPoint> all;
    for (int row = 0; row < p.rows; ++row)
        for (int column = 0; column < p.columns; ++column) all.push_back(copy_at(p, column, row));
    return all;
}

std::vector<DrawnPoint> corners_of(const DrawnBox& box) {
    return {box.low, {box.high.x, box.low.y}, box.high, {box.low.x, box.high.y}};
}

}  // namespace tymbal
