#include "tymbal/grid/grid.h"

#include "tymbal/base/error.h"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <map>
#include <stdexcept>
#include <utility>

namespace tymbal {

namespace {

// A node closer to the rim than this part of a spacing is no unknown: its neighbours' arms end on the rim instead.
constexpr double least_arm = 1e-2;

/// Number, among all places where grid lines meet the rim, of the nearest ones before and after a place; -1: outside.
struct Reach {
    int before = -1;
    int after = -1;
};

/// Where the grid lines of one direction meet the rim.
struct Lines {
    std::vector<std::vector<Crossing>> crossings;  ///< one list per line
    std::vector<int> first;                        ///< number of each line's first in Grid::ends

    void add(std::vector<Crossing> line, std::vector<RimEnd>& ends) {
        // Every grid line enters the film as often as it leaves it; anything else is a fault of the geometry code.
        if (line.size() % 2 != 0)
            throw std::logic_error("make_grid: a grid line crosses the rim an odd number of times");
        first.push_back(static_cast<int>(ends.size()));
        for (const Crossing& c : line) ends.push_back({c.normal, c.loop, c.curvature});
        crossings.push_back(std::move(line));
    }
    /// Nearest crossings on both sides of a place on a line, by their place in it.
    [[nodiscard]] Reach around(int line, double place) const {
        const auto& on = crossings[static_cast<std::size_t>(line)];
        const auto above =
            std::upper_bound(on.begin(), on.end(), place, [](double p, const Crossing& c) { return p < c.at; });
        const auto passed = static_cast<int>(std::distance(on.begin(), above));
        if (passed % 2 == 0 || above == on.end()) return {};
        return {passed - 1, passed};
    }
    /// The arm from a place to one of its line's crossings.
    [[nodiscard]] Arm arm(int line, int crossing, double place) const {
        const auto l = static_cast<std::size_t>(line);
        return {Arm::on_rim, first[l] + crossing,
                std::abs(crossings[l][static_cast<std::size_t>(crossing)].at - place)};
    }
};

enum class Standing { outside, on_rim, inside };

/// The node at (i, j) with all four arms ending on the rim, when it is inside or (nearly) on the rim.
Standing probe(const Grid& grid, const Lines& rows, const Lines& columns, int i, int j, Node& node) {
    const double x = grid.x0 + i * grid.dx;
    const double y = grid.y0 + j * grid.dy;
    const Reach along_x = rows.around(j, x);
    const Reach along_y = columns.around(i, y);
    if (along_x.before < 0 || along_y.before < 0) return Standing::outside;
    node = {i,
            j,
            {rows.arm(j, along_x.after, x), rows.arm(j, along_x.before, x), columns.arm(i, along_y.after, y),
             columns.arm(i, along_y.before, y)}};
    const double nearest_x = std::min(node.arms[0].length, node.arms[1].length);
    const double nearest_y = std::min(node.arms[2].length, node.arms[3].length);
    const bool clear = nearest_x > least_arm * grid.dx && nearest_y > least_arm * grid.dy;
    return clear ? Standing::inside : Standing::on_rim;
}

/// The rim where the node's shortest arm meets it.
int nearest_end(const Grid& grid, const Node& node) {
    const auto reach = [&](std::size_t a) { return node.arms[a].length / (a < 2 ? grid.dx : grid.dy); };
    std::size_t nearest = 0;
    for (std::size_t a = 1; a < 4; ++a)
        if (reach(a) < reach(nearest)) nearest = a;
    return node.arms[nearest].end;
}

/// Shortens each arm to the neighbouring node where that comes before the rim.
/// @param rim_end  of nodes dropped because they lie on the rim, by the number i + columns * j
void link_neighbours(Grid& grid, const std::map<int, int>& rim_end) {
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
                node.arms[a] = {neighbour, -1, spacing};
                continue;
            }
            // A neighbour that was dropped because it nearly touches the rim stands for the rim, with the rim's normal:
            // the arm may run along the rim.
            const auto dropped = rim_end.find(i + grid.columns * j);
            if (dropped == rim_end.end() || node.arms[a].length <= (1.0 + least_arm) * spacing) continue;
            RimEnd end = grid.end_of(node.arms[a]);
            end.normal = grid.ends[static_cast<std::size_t>(dropped->second)].normal;
            node.arms[a] = {Arm::on_rim, static_cast<int>(grid.ends.size()), spacing};
            grid.ends.push_back(end);
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
    Lines rows, columns;
    for (int j = 0; j < grid.rows; ++j) rows.add(cross_horizontal(rim, grid.y0 + j * grid.dy), grid.ends);
    for (int i = 0; i < grid.columns; ++i) columns.add(cross_vertical(rim, grid.x0 + i * grid.dx), grid.ends);
    grid.nodes.reserve(static_cast<std::size_t>(1.02 * area(rim) / (grid.dx * grid.dy)));
    Node node;
    std::map<int, int> rim_end;
    for (int j = 0; j < grid.rows; ++j) {
        for (int i = 0; i < grid.columns; ++i) {
            const Standing standing = probe(grid, rows, columns, i, j, node);
            if (standing == Standing::on_rim) rim_end[i + grid.columns * j] = nearest_end(grid, node);
            if (standing != Standing::inside) continue;
            grid.number[static_cast<std::size_t>(i + grid.columns * j)] = static_cast<int>(grid.nodes.size());
            grid.nodes.push_back(node);
        }
    }
    if (grid.nodes.empty()) throw NoAnswer("no grid node lies inside the outline; it is too narrow for the grid");
    link_neighbours(grid, rim_end);
    return grid;
}

std::array<std::size_t, 2> nodes_in_rows(const Grid& grid, int from, int to) {
    const auto first = [&](int row) {
        const auto below = [](const Node& node, int j) { return node.j < j; };
        const auto at = std::lower_bound(grid.nodes.begin(), grid.nodes.end(), row, below);
        return static_cast<std::size_t>(std::distance(grid.nodes.begin(), at));
    };
    return {first(from), first(to)};
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
