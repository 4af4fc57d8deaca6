#include "tymbal/grid/held_film.h"

#include "tymbal/base/error.h"

#include <algorithm>
#include <array>
#include <utility>

namespace tymbal {

namespace {

// Less film than this in the two cells beside an arm is rounding: it joins nothing.
constexpr double least_film = 1e-9;

/// Film in the four cells round a node, as parts of a cell: right above, left above, left below, right below.
std::array<double, 4> film_round(const Grid& grid, const Node& n, const std::vector<double>& film) {
    const auto at = [&](int i, int j) { return film[static_cast<std::size_t>(grid.cell(i, j))]; };
    return {at(n.i, n.j), at(n.i - 1, n.j), at(n.i - 1, n.j - 1), at(n.i, n.j - 1)};
}

/// Film beside each arm (+x, -x, +y, -y).
std::array<double, 4> film_beside(const Grid& grid, const Node& n, const std::vector<double>& film) {
    const auto [right_up, left_up, left_down, right_down] = film_round(grid, n, film);
    return {right_up + right_down, left_up + left_down, right_up + left_up, right_down + left_down};
}

/// Nodes that film joins to the rim.
std::vector<bool> held_nodes(const Grid& grid, const std::vector<double>& film) {
    std::vector<bool> held(grid.nodes.size(), false);
    std::vector<int> front;
    const auto reach = [&](int n) {
        if (held[static_cast<std::size_t>(n)]) return;
        held[static_cast<std::size_t>(n)] = true;
        front.push_back(n);
    };
    for (std::size_t n = 0; n < grid.nodes.size(); ++n) {
        const auto beside = film_beside(grid, grid.nodes[n], film);
        for (std::size_t a = 0; a < 4; ++a)
            if (grid.nodes[n].arms[a].cut() && beside[a] > least_film) reach(static_cast<int>(n));
    }
    while (!front.empty()) {
        const Node& node = grid.nodes[static_cast<std::size_t>(front.back())];
        front.pop_back();
        const auto beside = film_beside(grid, node, film);
        for (std::size_t a = 0; a < 4; ++a)
            if (!node.arms[a].cut() && beside[a] > least_film) reach(node.arms[a].to);
    }
    return held;
}

/// Film stays in cells with a held node; at the rim also in cells whose corners all lie on it or outside.
void drop_loose(const Grid& grid, const std::vector<bool>& held, HeldFilm& out) {
    for (int j = 0; j + 1 < grid.rows; ++j) {
        for (int i = 0; i + 1 < grid.columns; ++i) {
            const auto c = static_cast<std::size_t>(grid.cell(i, j));
            bool any_node = false, any_held = false;
            for (const int corner : {i + grid.columns * j, i + 1 + grid.columns * j, i + grid.columns * (j + 1),
                                     i + 1 + grid.columns * (j + 1)}) {
                const int n = grid.number[static_cast<std::size_t>(corner)];
                any_node = any_node || n >= 0;
                any_held = any_held || (n >= 0 && held[static_cast<std::size_t>(n)]);
            }
            if (!any_node || any_held) continue;
            out.loose_area += out.film[c] * grid.dx * grid.dy;
            out.film[c] = 0.0;
        }
    }
}

}  // namespace

HeldFilm held_film(Grid grid, std::vector<double> film) {
    const std::vector<bool> held = held_nodes(grid, film);
    HeldFilm out{{}, std::move(film), 0.0};
    drop_loose(grid, held, out);
    out.grid = std::move(grid);
    PageVector<Node>& nodes = out.grid.nodes;
    std::vector<int> renumbered(nodes.size(), -1);
    std::size_t kept = 0;
    for (std::size_t n = 0; n < nodes.size(); ++n) {
        const Node& node = nodes[n];
        int& number = out.grid.number[static_cast<std::size_t>(node.i + out.grid.columns * node.j)];
        number = renumbered[n] = held[n] ? static_cast<int>(kept) : -1;
        if (held[n]) nodes[kept++] = node;
    }
    if (kept == 0) throw NoAnswer("the openings leave no film that the rim holds");
    nodes.resize(kept);
    for (Node& node : nodes) {
        const auto beside = film_beside(out.grid, node, out.film);
        for (std::size_t a = 0; a < 4; ++a) {
            Arm& arm = node.arms[a];
            if (!arm.cut()) arm.to = renumbered[static_cast<std::size_t>(arm.to)];
            if (arm.cut() && beside[a] <= least_film) arm.to = Arm::in_opening;
        }
    }
    return out;
}

}  // namespace tymbal
