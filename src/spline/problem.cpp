#include "problem.h"

#include "linear_solver.h"

#include "tymbal/base/constants.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace tymbal::spline {

int modes_per_grid(const FilmProblem& problem) {
    constexpr int spare = 2;
    return problem.near > 0.0 ? 2 * problem.count + 2 * spare : problem.count + spare;
}

Start start_of(const FilmProblem& problem) {
    constexpr double slack = 0.4, blind_share = 0.25;
    const Box box = bounding_box(problem.rim);
    const double length = std::max(box.high.x - box.low.x, box.high.y - box.low.y);
    const double across = std::min(box.high.x - box.low.x, box.high.y - box.low.y);
    double narrow = problem.narrowest > 0.0 ? problem.narrowest : across;
    for (const Edge& e : problem.rim)
        if (e.radius > 0.0) narrow = std::min(narrow, 2.0 * e.radius);
    const double seen = std::min({length / 16.0, across / 2.0, narrow / 1.5});
    Start start{film_region(problem.rim, problem.openings, seen / (grid_step * grid_step), problem.held), {}, seen};
    start.blind = {stress_corners(start.region), blind_share * narrow};
    const double half_wave =
        problem.near > 0.0
            ? constants::pi * std::sqrt(slack * problem.sheet.tension / problem.sheet.mass / problem.near)
            : std::sqrt(constants::pi * start.region.area / (4.0 * modes_per_grid(problem)));
    start.spacing = std::min(seen, 0.5 * half_wave);
    return start;
}

double needed_unknowns(const FilmProblem& problem) {
    const Start start = start_of(problem);
    const double last = start.spacing / std::pow(grid_step, least_grids - 1);
    double edges = 0.0;
    for (const Curve& c : start.region.curves)
        for (std::size_t k = 0; k < c.points.size(); ++k) {
            const Point &a = c.points[k], &b = c.points[(k + 1) % c.points.size()];
            edges += std::hypot(b.x - a.x, b.y - a.y);
        }
    return start.region.area / (last * last) + edges / last;  // splines of cut cells reach a cell beyond the edge
}

double largest_factored(const FilmProblem& problem) {
    return problem.near > 0.0 ? std::numeric_limits<double>::infinity() : largest_factor;
}

double held_bytes(const FilmProblem& problem, double unknowns) {
    constexpr double by_multigrid = 2'700.0;
    const double factored = std::min(unknowns, largest_factored(problem));  // larger grids come after that one
    const double by_factors =
        600.0 * factored * std::log2(std::max(2.0, factored));  // nested dissection fills by the logarithm
    return unknowns > factored ? std::max(by_factors, by_multigrid * unknowns) : by_factors;
}

}  // namespace tymbal::spline
