#include "tymbal/film/slack_film.h"

#include "../grid/each_node.h"

#include <array>
#include <cmath>
#include <vector>

namespace tymbal {

namespace {

// The part of the deposited tension that slack film is given. (Without any, it has no shape, and its curvature is
// noise.)
constexpr double least_tension = 1e-3;

using Stress3 = std::array<double, 3>;

/// What must be added to a tension so that neither of its principal values is below `least`.
Stress3 lift(const Stress3& n, double least) {
    const double mean = 0.5 * (n[0] + n[1]), half = 0.5 * (n[0] - n[1]), radius = std::hypot(half, n[2]);
    if (mean - radius >= least) return {};
    if (mean + radius <= least) return {least - n[0], least - n[1], -n[2]};
    // The smaller principal value is raised along its own direction, at right angles to (cos a, sin a).
    const double by = least - (mean - radius), cos_2a = half / radius, sin_2a = n[2] / radius;
    return {0.5 * by * (1.0 - cos_2a), 0.5 * by * (1.0 + cos_2a), -0.5 * by * sin_2a};
}

/// The cell of a node's corner, by its number in a CornerTensor.
std::size_t corner_cell(const Grid& grid, const Node& node, std::size_t corner) {
    return static_cast<std::size_t>(grid.cell(node.i - (corner < 2 ? 0 : 1), node.j - (corner % 2 == 0 ? 0 : 1)));
}

/// Tension and film of a node's corners together.
struct NodeTension {
    Stress3 pull{};
    double film = 0.0;
};

/// Nodes where the mean tension of the film round them, in the eight nodes beside them too, has a principal value below
/// `least`. Single corners in cells that a taut edge cuts are no measure: theirs is as uncertain as it is small.
std::vector<char> slack_nodes(const Grid& grid, const FilmMap& map, double least, unsigned threads,
                              const CornerTensor& corners) {
    PageVector<NodeTension> at(grid.nodes.size());
    for_each_node(grid, threads, [&](std::size_t n) {
        for (std::size_t c = 0; c < 4; ++c) {
            for (std::size_t r = 0; r < 3; ++r) at[n].pull[r] += corners[4 * n + c][r];
            at[n].film += map.film[corner_cell(grid, grid.nodes[n], c)];
        }
    });
    std::vector<char> slack(grid.nodes.size(), 0);
    for_each_node(grid, threads, [&](std::size_t n) {
        NodeTension round;
        for (int j = -1; j <= 1; ++j)
            for (int i = -1; i <= 1; ++i) {
                const int beside =
                    grid.number[static_cast<std::size_t>(grid.nodes[n].i + i + grid.columns * (grid.nodes[n].j + j))];
                if (beside < 0) continue;
                const NodeTension& other = at[static_cast<std::size_t>(beside)];
                for (std::size_t r = 0; r < 3; ++r) round.pull[r] += other.pull[r];
                round.film += other.film;
            }
        slack[n] = lift(round.pull, least * round.film) == Stress3{} ? 0 : 1;
    });
    return slack;
}

/// Raises the corners of the nodes marked so that no principal tension is below `least`, of a cell that is film
/// throughout, and adds to `raised` by how much; that stays empty without.
void raise(const Grid& grid, const FilmMap& map, double least, const std::vector<char>& marked, CornerTensor& corners,
           CornerTensor& raised) {
    for (std::size_t n = 0; n < marked.size(); ++n) {
        if (marked[n] == 0) continue;
        for (std::size_t c = 0; c < 4; ++c) {
            const Stress3 by = lift(corners[4 * n + c], least * map.film[corner_cell(grid, grid.nodes[n], c)]);
            if (by == Stress3{}) continue;
            if (raised.empty()) raised.resize(corners.size());
            for (std::size_t r = 0; r < 3; ++r) {
                corners[4 * n + c][r] += by[r];
                raised[4 * n + c][r] += by[r];
            }
        }
    }
}

double least_of(const PaintedFilm& film) {
    return least_tension * film.stress * film.thickness;
}

}  // namespace

void raise_slack(const PaintedFilm& film, const Grid& grid, const FilmMap& map, unsigned threads, CornerTensor& corners,
                 CornerTensor& raised) {
    raise(grid, map, least_of(film), slack_nodes(grid, map, least_of(film), threads, corners), corners, raised);
}

void raise_all(const PaintedFilm& film, const Grid& grid, const FilmMap& map, CornerTensor& corners,
               CornerTensor& raised) {
    raise(grid, map, least_of(film), std::vector<char>(grid.nodes.size(), 1), corners, raised);
}

}  // namespace tymbal
