#include "wet_film.h"

#include "tymbal/base/error.h"
#include "tymbal/geometry/boundary.h"
#include "tymbal/task/static_answers.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

namespace tymbal {

namespace {

/// Grid cells along both sides of the outline's box, nearly square.
std::array<int, 2> cells_across(const Outline& outline, int longer) {
    const Box box = bounding_box(boundary(outline));
    const double width = box.high.x - box.low.x, height = box.high.y - box.low.y;
    const auto along = [&](double side) {
        return std::max(16, 2 * static_cast<int>(std::ceil(0.5 * longer * side / std::max(width, height))));
    };
    return {along(width), along(height)};
}

double cell_of(const Boundary& rim, int longer) {
    const Box box = bounding_box(rim);
    return std::max(box.high.x - box.low.x, box.high.y - box.low.y) / longer;
}

}  // namespace

Level solve_once(const Device& device, const FilmOnOutline& laid, int longer) {
    const auto across = cells_across(device.outline, longer);
    return solve_level({device.outline, laid.film, 1, device.solve.accuracy}, across[0], across[1],
                       RimTreatment::thin_layer);
}

void require_visible(const Device& device, const FilmOnOutline& laid) {
    if (const Released* released = std::get_if<Released>(&device.outline)) {
        const double cell = cell_of(released->front, release_cells);
        for (const Loop& loop : loops(released->front))
            if (loop.area < 0.0 && std::sqrt(-loop.area) < 4.0 * cell)
                throw NoAnswer(
                    "pillars of oxide are finer than the grid of this report; predict solves them where it can");
    }
    if (laid.film.openings.empty()) return;
    if (laid.film.narrowest < 3.0 * cell_of(boundary(device.outline), coarser_release_cells))
        throw NoAnswer("holes or the film between them are finer than the grid of this report; predict resolves them");
}

WetFilm wet_film(const Device& device, const FilmOnOutline& laid, const Level& level) {
    return {static_stiffness(level), wetted_area(level, laid.outline_area), device.release->gap.si()};
}

std::optional<double> collapse_margin(const Device& device, const FilmOnOutline& laid) {
    if (!device.release || !device.release->drying) return std::nullopt;
    const double tension = device.release->drying->surface_tension.si();
    if (tension <= 0.0) return std::numeric_limits<double>::infinity();
    require_visible(device, laid);
    const Level level = solve_once(device, laid, release_cells);
    return 0.5 * collapse_limits(wet_film(device, laid, level)).local_strength / tension;
}

}  // namespace tymbal
