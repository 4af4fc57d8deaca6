#include "modes_needed.h"

#include "tymbal/base/constants.h"
#include "tymbal/geometry/boundary.h"
#include "tymbal/task/laid_film.h"

#include "holes_in_place.h"
#include "model_choice.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

using constants::pi;
constexpr double most_modes = 60.0;  // solved on the user's behalf; --modes goes further
constexpr double reach_above = 1.4;  // the film may lie this much below the design

/// A film that is the same everywhere.
struct EvenFilm {
    double tension = 0.0;        ///< N/m
    double bending = 0.0;        ///< N m
    double areal_density = 0.0;  ///< kg/m^2
};

EvenFilm even_film(const Device& device, const CellSolver& cells) {
    const Film& film = device.film;
    EvenFilm even{tension_n_per_m(film), bending_stiffness_n_m(film), film.density.si() * film.thickness.si()};
    if (!device.holes) return even;
    const CellFilm cell = cells(cell_problem(film, *device.holes, device.solve.accuracy));
    even.tension *= (1.0 - film.poisson_ratio.si()) * (cell.stiffness[0][0] + cell.stiffness[0][1]);
    even.bending *= cell.bending[0][0];
    even.areal_density *= 1.0 - cell.open_fraction;
    return even;
}

/// Of a wave of this frequency on the film, rad/m: D k^4 + N k^2 = m omega^2.
double wave_number(const EvenFilm& film, double frequency_hz) {
    const double inertia = film.areal_density * std::pow(2.0 * pi * frequency_hz, 2);
    const double root = std::sqrt(film.tension * film.tension + 4.0 * film.bending * inertia);
    return std::sqrt(2.0 * inertia / (film.tension + root));
}

bool has_average(const Device& device) {
    if (!device.holes) return device.openings.empty() && !std::holds_alternative<Strip>(device.outline);
    return device.holes->lattice != Lattice::list && coarse_model(device) == Model::averaged;
}

}  // namespace

int modes_expected(const Device& device, const CellSolver& cells, double highest_peak_hz) {
    if (!has_average(device) || device.solve.near_hz > 0.0) return 0;
    const Boundary rim = boundary(device.outline);
    const double k = wave_number(even_film(device, cells), reach_above * highest_peak_hz);
    const double count = (area(rim) * k * k - perimeter(rim) * k) / (4.0 * pi);
    return static_cast<int>(std::clamp(count + 1.0, 0.0, most_modes));
}

int modes_needed(const LineModel& lines, int asked, double highest_peak_hz) {
    const Line& last = lines.lines[static_cast<std::size_t>(asked) - 1];
    const double ratio = reach_above * highest_peak_hz / last.frequency_hz;
    return std::max(asked, static_cast<int>(std::min(asked * ratio * ratio, most_modes)));
}

}  // namespace tymbal
