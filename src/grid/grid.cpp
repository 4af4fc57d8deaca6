#include "tymbal/grid/grid.h"

#include "tymbal/base/error.h"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <map>
#include <stdexcept>

namespace tymbal {

namespace {

// A node closer to the rim than this part of a spacing is no unknown: its neighbours' arms end on the rim instead.
constexpr double least_arm = 1e-2;

struct Reach {
    bool inside = false;
    Crossing before;
    Crossing after;
};

/// Nearest crossings on both sides of a place on a grid line.
Reach look_along(const std::vector<Crossing>& line, double place) {
    const auto above =
        std::upper_bound(line.begin(), line.end(), place, [](double p, const Crossing& c) { return p < c.at; });
    const auto passed = std::distance(line.begin(), above);
    if (passed % 2 == 0 || above == line.end()) return {};
    return {true, *std::prev(above), *above};
}

struct Lines {
    std::vector<std::vector<Crossing>> horizontal;  // one per row
    std::vector<std::vector<Crossing>> vertical;    // one per column
};

Lines cross_all(const Boundary& rim, const Grid& grid) {
    Lines lines;
    for (int j = 0; j < grid.rows; ++j) lines.horizontal.push_back(cross_horizontal(rim, grid.y0 + j * grid.dy));
    for (int i = 0; i < grid.columns; ++i) lines.vertical.push_back(cross_vertical(rim, grid.x0 + i * grid.dx));
    return lines;
}

Arm towards_rim(double length, const Crossing& c) {
    return {-1, length, c.normal, c.loop, c.curvature};
}

enum class Standing { outside, on_rim, inside };

/// Every grid line enters the film as often as it leaves it; anything else is a fault of the geometry code.
void require_pairs(const std::vector<std::vector<Crossing>>& lines) {
    for (const auto& line : lines)
        if (line.size() % 2 != 0)
            throw std::logic_error("make_grid: a grid line crosses the rim an odd number of times");
}

/// The node at (i, j) with all four arms ending on the rim, when it is inside or (nearly) on the rim.
Standing probe(const Grid& grid, const Lines& lines, int i, int j, Node& node) {
    const double x = grid.x0 + i * grid.dx;
    const double y = grid.y0 + j * grid.dy;
    const Reach along_x = look_along(lines.horizontal[static_cast<std::size_t>(j)], x);
    const Reach along_y = look_along(lines.vertical[static_cast<std::size_t>(i)], y);
    if (!along_x.inside || !along_y.inside) return Standing::outside;
    node = {i,
            j,
            {towards_rim(along_x.after.at - x, along_x.after), towards_rim(x - along_x.before.at, along_x.before),
             towards_rim(along_y.after.at - y, along_y.after), towards_rim(y - along_y.before.at, along_y.before)}};
    const double nearest_x = std::min(node.arms[0].length, node.arms[1].length);
    const double nearest_y = std::min(node.arms[2].length, node.arms[3].length);
    const bool clear = nearest_x > least_arm * grid.dx && nearest_y > least_arm * grid.dy;
    return clear ? Standing::inside : Standing::on_rim;
}

/// Normal of the rim where the node's shortest arm meets it.
Point nearest_normal(const Grid& grid, const Node& node) {
    const auto reach = [&](std::size_t a) { return node.arms[a].length / (a < 2 ? grid.dx : grid.dy); };
    std::size_t nearest = 0;
    for (std::size_t a = 1; a < 4; ++a)
        if (reach(a) < reach(nearest)) nearest = a;
    return node.arms[nearest].normal;
}

/// Shortens each arm to the neighbouring node where that comes before the rim.
/// @param rim_normal  of nodes dropped because they lie on the rim, by the number i + columns * j
void link_neighbours(Grid& grid, const std::map<int, Point>& rim_normal) {
    constexpr std::array<int, 4> step_i{1, -1, 0, 0};
    constexpr std::array<int, 4> step_j{0, 0, 1, -1};
    for (Node& node : grid.nodes) {
        for (std::size_t a = 0; a < 4; ++a) {
            const int i = node.i + step_i[a];
            const int j = node.j + step_j[a];
            const double spacing = a < 2 ? grid.dx : grid.dy;
            if (i < 0 || j < 0 || i >= grid.columns || j >= grid.rows || node.arms[a].length < spacing) continue;
            const int neighbour = grid.number[static_cast<std::size_t>(i + grid.columns * j)];
            if (neighbour >= 0) {
                node.arms[a] = {neighbour, spacing, {}, 0, 0.0};
                continue;
            }
            // A neighbour that was dropped because it nearly touches the rim stands for the rim, with the rim's normal:
            // the arm may run along the rim.
            const auto dropped = rim_normal.find(i + grid.columns * j);
            if (dropped != rim_normal.end() && node.arms[a].length > (1.0 + least_arm) * spacing)
                node.arms[a] = {-1, spacing, dropped->second, node.arms[a].loop, node.arms[a].curvature};
        }
    }
}

}  // namespace

Grid make_grid(const Boundary& rim, int cells_x, int cells_y) {
    const Box box = bounding_box(rim);
    Grid grid;
    grid.dx = (box.high.x - box.low.x) / cells_x;
    grid.dy = (box.high.y - box.low.y) / cells_y;
    grid.columns = cells_x + 1;
    grid.rows = cells_y + 1;
    grid.x0 = box.low.x;
    grid.y0 = box.low.y;
    grid.number.assign(static_cast<std::size_t>(grid.columns * grid.rows), -1);
    const Lines lines = cross_all(rim, grid);
    require_pairs(lines.horizontal);
    require_pairs(lines.vertical);
    Node node;
    std::map<int, Point> rim_normal;
    for (int j = 0; j < grid.rows; ++j) {
        for (int i = 0; i < grid.columns; ++i) {
            const Standing standing = probe(grid, lines, i, j, node);
            if (standing == Standing::on_rim) rim_normal[i + grid.columns * j] = nearest_normal(grid, node);
            if (standing != Standing::inside) continue;
            grid.number[static_cast<std::size_t>(i + grid.columns * j)] = static_cast<int>(grid.nodes.size());
            grid.nodes.push_back(node);
        }
    }
    if (grid.nodes.empty()) throw NoAnswer("no grid node lies inside the outline; it is too narrow for the grid");
    link_neighbours(grid, rim_normal);
    return grid;
}

std::vector<double> covered(const Boundary& rim, const Grid& grid) {
    constexpr int lines = 8;
    std::vector<double> part(static_cast<std::size_t>(grid.cell_count()), 0.0);
    for (int j = 0; j + 1 < grid.rows; ++j) {
        for (int line = 0; line < lines; ++line) {
            const auto crossings = cross_horizontal(rim, grid.y0 + (j + (line + 0.5) / lines) * grid.dy);
            for (std::size_t c = 0; c + 1 < crossings.size(); c += 2) {
                const double from = (crossings[c].at - grid.x0) / grid.dx;
                const double to = (crossings[c + 1].at - grid.x0) / grid.dx;
                for (int i = std::max(0, static_cast<int>(from)); i < std::min<double>(grid.columns - 1, to); ++i)
                    part[static_cast<std::size_t>(grid.cell(i, j))] +=
                        std::max(0.0, std::min(to, i + 1.0) - std::max(from, 1.0 * i)) / lines;
            }
        }
    }
    return part;
}

}  // namespace tymbal
