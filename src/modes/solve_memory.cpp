#include "solve_memory.h"

#include "tymbal/base/error.h"
#include "tymbal/film/lattice_relax.h"
#include "tymbal/grid/lattice_modes.h"

#include <algorithm>
#include <cstdio>
#include <string>

#include <unistd.h>

namespace tymbal {

namespace {

/// Extent of one grid.
struct Extent {
    int cells_x = 0, cells_y = 0;
    double cells = 0.0, nodes = 0.0;  ///< in the box; inside the rim
};

Extent extent(const ModeProblem& problem, const GridLadder& grids, std::size_t g) {
    const Boundary rim = boundary(problem.outline);
    const Box box = bounding_box(rim);
    const auto across = grids.cells(g);
    const double cells = grids.all_cells(g);
    return {across[0], across[1], cells, cells * area(rim) / ((box.high.x - box.low.x) * (box.high.y - box.low.y))};
}

/// A finished level as it is kept: two grids, film map, tension in cells and corners, mass and shapes.
double kept(const Extent& e, double count) {
    constexpr double per_cell = 2 * sizeof(int) + sizeof(Voigt) + 7 * sizeof(double);
    constexpr double per_node = 2 * sizeof(Node) + 4 * 3 * sizeof(double) + sizeof(double);
    return per_cell * e.cells + (per_node + sizeof(double) * count) * e.nodes;
}

/// What the solvers hold on top while the level is worked out.
double working(const Extent& e, int count) {
    const auto modes = static_cast<double>(lattice_modes_bytes(e.cells_x - 1, e.cells_y - 1, count));
    const auto stress = static_cast<double>(relax_bytes({e.cells_x, e.cells_y, 1.0, 1.0}));
    const double raised = 4 * 3 * sizeof(double) * e.nodes;  // where the film is compressed somewhere
    return std::max(modes + raised, stress);
}

std::size_t machine_bytes() {
    return static_cast<std::size_t>(::sysconf(_SC_PHYS_PAGES)) * static_cast<std::size_t>(::sysconf(_SC_PAGESIZE));
}

std::string gibibytes(double bytes) {
    char text[32];
    std::snprintf(text, sizeof text, "%.2g GiB", bytes / (1024.0 * 1024.0 * 1024.0));
    return text;
}

}  // namespace

std::size_t solve_bytes(const ModeProblem& problem, const GridLadder& grids, std::size_t finest) {
    double sum = kept(extent(problem, grids, 0), problem.count);
    for (const std::size_t g : {finest - 1, finest}) {
        const Extent e = extent(problem, grids, g);
        sum += kept(e, problem.count) + working(e, problem.count);
    }
    return static_cast<std::size_t>(sum);
}

std::size_t memory_limit(const SolveEffort& effort) {
    return effort.memory_limit > 0 ? effort.memory_limit : machine_bytes();
}

void require_bytes(const SolveEffort& effort, std::size_t bytes) {
    const std::size_t limit = memory_limit(effort);
    if (bytes > limit)
        throw NoAnswer("with every hole on the grid the solution would hold " + gibibytes(static_cast<double>(bytes)) +
                       ", more than the " + gibibytes(static_cast<double>(limit)) +
                       " it may; ask for fewer modes, use wider openings, or raise the limit (memory_limit)");
    if (effort.announce) effort.announce(bytes);
}

void require_memory(const ModeProblem& problem, const GridLadder& grids, std::size_t finest) {
    require_bytes(problem.effort, solve_bytes(problem, grids, finest));
}

}  // namespace tymbal
