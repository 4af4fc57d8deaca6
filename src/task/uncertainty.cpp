#include "tymbal/task/uncertainty.h"

#include "tymbal/geometry/boundary.h"

#include "holes_in_place.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <functional>
#include <future>

namespace tymbal {

namespace {

constexpr double step = 1e-2;  // of the perturbed input, for derivatives through the unit cell

/// Stiffness of the same cell in a film of another Poisson's ratio: the compliance moves by the solid's own shift
/// (Cherkaev, Lurie and Milton, Proc. R. Soc. A 438, 519 (1992); from memory, checked in tests/film).
Voigt with_poisson(const Voigt& stiffness, double change) {
    Eigen::Matrix3d c;
    for (int r = 0; r < 3; ++r)
        for (int k = 0; k < 3; ++k) c(r, k) = stiffness[static_cast<std::size_t>(r)][static_cast<std::size_t>(k)];
    Eigen::Matrix3d s = c.inverse();
    s(0, 1) -= change;
    s(1, 0) -= change;
    s(2, 2) += 2.0 * change;
    c = s.inverse();
    Voigt moved{};
    for (int r = 0; r < 3; ++r)
        for (int k = 0; k < 3; ++k) moved[static_cast<std::size_t>(r)][static_cast<std::size_t>(k)] = c(r, k);
    return moved;
}

/// d ln(omega^2) / d ln(input) for a film that depends on an input's relative change.
std::vector<double> film_derivative(const ModeSet& set, const Effort& effort,
                                    const std::function<PaintedFilm(double)>& film_at) {
    effort.large.keep_going();
    auto ahead = std::async(effort.own_threads ? std::launch::async : std::launch::deferred,
                            [&] { return rayleigh_quotients(set, film_at(step)); });
    const auto less = rayleigh_quotients(set, film_at(-step));
    const auto more = ahead.get();
    std::vector<double> derivative;
    for (std::size_t k = 0; k < more.size(); ++k)
        derivative.push_back((std::log(more[k]) - std::log(less[k])) / (2.0 * step));
    return derivative;
}

PaintedFilm with_hole_size(const Device& device, const FilmOnOutline& laid, const Effort& effort, double change) {
    PaintedFilm film = laid.film;
    CellProblem problem = cell_problem(device.film, *device.holes, 1e-2);
    problem.size *= 1.0 + change;
    film.cell = effort.cells(problem);
    return film;
}

/// The same holes on a pitch that has changed: the field swells about the origin, the holes keep their size.
PaintedFilm with_pitch(const Device& device, const FilmOnOutline& laid, const Effort& effort, double change) {
    PaintedFilm film = with_hole_size(device, laid, effort, 1.0 / (1.0 + change) - 1.0);
    for (auto& polygon : film.field)
        for (Point& p : polygon) p = {p.x * (1.0 + change), p.y * (1.0 + change)};
    return film;
}

/// A film that relaxes in its plane with another Poisson's ratio but bends as before: the modulus follows so that
/// E/(1 - nu^2) stays (relaxation does not see a common factor). Bending has its closed-form sensitivity.
PaintedFilm with_relaxation_at(const FilmOnOutline& laid, double change) {
    PaintedFilm film = laid.film;
    const double nu = film.poisson_ratio;
    film.poisson_ratio = nu * (1.0 + change);
    film.modulus *= (1.0 - film.poisson_ratio * film.poisson_ratio) / (1.0 - nu * nu);
    if (film.cell) film.cell->stiffness = with_poisson(film.cell->stiffness, nu * change);
    return film;
}

class Ledger {
public:
    explicit Ledger(ModeSet& set) : set_(set) {}
    template <class Q, class Derivative>
    void add(const char* input, const Sourced<Q>& value, Derivative derivative) {
        if (value.deviation_si() == 0.0 || value.si() == 0.0) return;
        const double relative = value.deviation_si() / std::abs(value.si());
        for (std::size_t k = 0; k < set_.modes.size(); ++k) {
            Mode& mode = set_.modes[k];
            const double s = 0.5 * derivative(k);
            mode.contributions.push_back({input, s, relative, std::abs(mode.frequency_hz * s * relative)});
        }
    }
    void close() {
        for (Mode& mode : set_.modes) {
            auto& parts = mode.contributions;
            std::stable_sort(parts.begin(), parts.end(),
                             [](const Contribution& a, const Contribution& b) { return a.share_hz > b.share_hz; });
            double variance = 0.0;
            for (const Contribution& c : parts) variance += c.share_hz * c.share_hz;
            mode.frequency_std_hz = std::sqrt(variance);
        }
    }

private:
    ModeSet& set_;
};

void add_film(const Device& device, const FilmOnOutline& laid, const Effort& effort, ModeSet& set, Ledger& ledger) {
    const auto& s = set.sensitivities;
    const Film& film = device.film;
    ledger.add("film.stress", film.stress, [&](std::size_t k) { return s[k].stress; });
    ledger.add("film.thickness", film.thickness, [&](std::size_t k) { return s[k].thickness; });
    ledger.add("film.youngs_modulus", film.youngs_modulus, [&](std::size_t k) { return s[k].modulus; });
    ledger.add("film.density", film.density, [&](std::size_t k) { return s[k].density; });
    std::vector<double> relaxation(set.modes.size(), 0.0);
    const bool relaxes = laid.film.cell.has_value() || !laid.film.openings.empty();
    if (relaxes && film.poisson_ratio.deviation_si() > 0.0 && film.poisson_ratio.si() != 0.0)
        relaxation = film_derivative(set, effort, [&](double change) { return with_relaxation_at(laid, change); });
    ledger.add("film.poisson_ratio", film.poisson_ratio,
               [&](std::size_t k) { return s[k].poisson_ratio + relaxation[k]; });
}

/// Stress and thickness of the layers of each patch, as a deviation of the tension there. (The film's own stress moves
/// the tension everywhere.)
void add_patches(const Device& device, const FilmOnOutline& laid, const Effort& effort, const ModeSet& set,
                 Ledger& ledger) {
    for (std::size_t p = 0; p < device.patches.size(); ++p) {
        double variance = 0.0;
        for (const FilmLayer& l : device.patches[p].layers)
            variance += std::pow(l.stress.deviation_si() * l.thickness.si(), 2) +
                        std::pow(l.stress.si() * l.thickness.deviation_si(), 2);
        const Film& film = device.patches[p].film;
        const Sourced<Stress> stress(film.stress.value(), Stress::from_si(std::sqrt(variance) / film.thickness.si()),
                                     film.stress.source());
        if (stress.si() == 0.0 || variance == 0.0) continue;
        const auto d = film_derivative(set, effort, [&](double change) {
            PaintedFilm changed = laid.film;
            changed.patches[p].stress *= 1.0 + change;
            return changed;
        });
        ledger.add("film.layer", stress, [&](std::size_t k) { return d[k]; });
    }
}

void add_outline(const Outline& outline, const ModeSet& set, Ledger& ledger) {
    const auto& s = set.sensitivities;
    if (const auto* r = std::get_if<Rectangle>(&outline)) {
        ledger.add("outline.width", r->width, [&](std::size_t k) { return s[k].width; });
        ledger.add("outline.height", r->height, [&](std::size_t k) { return s[k].height; });
    } else if (const auto* strip = std::get_if<Strip>(&outline)) {
        ledger.add("outline.length", strip->length, [&](std::size_t k) { return s[k].width; });
        ledger.add("outline.width", strip->width, [&](std::size_t k) { return s[k].height; });
    } else if (const auto* d = std::get_if<Disc>(&outline)) {
        ledger.add("outline.diameter", d->diameter, [&](std::size_t k) { return s[k].scale; });
    } else if (const auto* a = std::get_if<Ring>(&outline)) {
        ledger.add("outline.outer_diameter", a->outer_diameter, [&](std::size_t k) { return s[k].scale - s[k].inner; });
        ledger.add("outline.inner_diameter", a->inner_diameter, [&](std::size_t k) { return s[k].inner; });
    } else if (const auto* f = std::get_if<Released>(&outline)) {
        ledger.add("release.undercut", f->undercut, [&](std::size_t k) { return s[k].rim * f->undercut.si(); });
    }
}

/// omega^2 of the set's modes for another film or outline that a grid of so many cells tells.
std::vector<double> squares_on(int cells_x, int cells_y, RimTreatment rim, ModeProblem problem, const ModeSet& set) {
    const int first = set.modes.front().number, last = set.modes.back().number;
    problem.count = last;
    const Level level = solve_level(problem, cells_x, cells_y, rim);
    std::vector<double> values;
    for (Eigen::Index k = 0; k < last; ++k) values.push_back(level.corrected(k));
    std::sort(values.begin(), values.end());
    return {values.begin() + (first - 1), values.end()};
}

/// The same, solved again on a coarse grid as the set was.
std::vector<double> squares_of(const Device& device, const Effort& effort, const Outline& outline,
                               const PaintedFilm& film, const ModeSet& set) {
    const int first = set.modes.front().number, last = set.modes.back().number;
    ModeProblem changed{outline, film, last - first + 1, device.solve.accuracy};
    changed.near_hz = device.solve.near_hz;
    changed.effort = effort.large;
    if (set.cut_stress) return cut_film_squares(changed, first);
    return squares_on(set.coarse.cells_x, set.coarse.cells_y, set.rim, changed, set);
}

/// d ln(omega^2) / d ln(input) when every hole of the resolved film changes with it: both films are solved again, with
/// a step wide enough that the cells they cut elsewhere do not matter.
template <class HolesAt>
std::vector<double> open_derivative(const Device& device, const FilmOnOutline& laid, const Effort& effort,
                                    const ModeSet& set, HolesAt holes_at) {
    constexpr double wide = 0.03;
    const auto values_at = [&](double change) {
        PaintedFilm film = laid.film;
        const std::vector<Figure> changed = figures(holes_at(change));
        std::copy(changed.begin(), changed.end(), film.openings.begin());  // holes stand before single openings
        return squares_of(device, effort, device.outline, film, set);
    };
    const std::vector<double> more = values_at(wide), less = values_at(-wide);
    std::vector<double> derivative;
    for (std::size_t k = 0; k < more.size(); ++k)
        derivative.push_back((std::log(more[k]) - std::log(less[k])) / (2.0 * wide));
    return derivative;
}

/// omega^2 of the set's modes with the front elsewhere. Holes on a grid are cut otherwise by every front, which takes a
/// quarter from the difference of two; their lattice's average differs from them by far less.
std::vector<double> squares_at(const Device& device, const Released& front, const FilmOnOutline& laid,
                               const Effort& effort, const ModeSet& set) {
    constexpr int cells = 64;  // along the longer side
    const bool averaged_is_near = device.holes->lattice != Lattice::list && device.openings.empty() &&
                                  device.solve.near_hz <= 0.0 && set.cut_stress.has_value();
    if (!averaged_is_near) return squares_of(device, effort, front, laid.film, set);
    Device average = device;
    average.solve.model = Model::averaged;
    const Box box = bounding_box(boundary(front));
    const double x = box.high.x - box.low.x, y = box.high.y - box.low.y, spacing = std::max(x, y) / cells;
    return squares_on(std::max(static_cast<int>(x / spacing), 8), std::max(static_cast<int>(y / spacing), 8),
                      RimTreatment::thin_layer,
                      {front, lay_out(average, effort.cells).film, set.modes.back().number, device.solve.accuracy},
                      set);
}

int loops(const Released& front) {
    return front.front.back().loop;
}

/// d ln(omega^2) / d undercut, 1/m: the rim moves and the film behind it finds its balance anew, which the set's own
/// sensitivity to the rim leaves out (a third of the whole where holes take half of the tension). Fronts between which
/// oxide goes or stands are no two ends of one slope; nothing where there are no others.
std::vector<double> front_derivative(const Device& device, const FilmOnOutline& laid, const Effort& effort,
                                     const ModeSet& set) {
    constexpr double wide = 0.01, of_undercut = 0.2;  // of the outline's width: two grids cut cells elsewhere
    const Released& drawn = std::get<Released>(device.outline);
    const double undercut = drawn.undercut.si();
    const double move = std::min(wide * std::sqrt(laid.outline_area), of_undercut * undercut);
    const PlacedHoles holes = holes_in_place(device);
    const auto front_at = [&](double at) -> std::optional<Released> {
        const Sourced<Length> there(Length::from_si(at), Length::from_si(0.0), drawn.undercut.source());
        Released front = set_free(holes, there);
        if (loops(front) != loops(drawn)) return std::nullopt;
        return front;
    };
    const std::optional<Released> further = front_at(undercut + move), nearer = front_at(undercut - move);
    if (!further && !nearer) return {};
    const std::vector<double> more = squares_at(device, further.value_or(drawn), laid, effort, set);
    const std::vector<double> less = squares_at(device, nearer.value_or(drawn), laid, effort, set);
    const double width = (further ? move : 0.0) + (nearer ? move : 0.0);
    std::vector<double> derivative;
    for (std::size_t k = 0; k < more.size(); ++k) derivative.push_back(std::log(more[k] / less[k]) / width);
    return derivative;
}

/// An etch front starts at the holes' edges: where they lie further out, so does the rim.
double front_share(const Device& device, const Sensitivity& s) {
    return std::holds_alternative<Released>(device.outline) ? 0.5 * device.holes->size.si() * s.rim : 0.0;
}

void add_open_holes(const Device& device, const FilmOnOutline& laid, const Effort& effort, const ModeSet& set,
                    Ledger& ledger) {
    const HolePattern& holes = *device.holes;
    if (holes.size.deviation_si() > 0.0) {
        const auto d = open_derivative(device, laid, effort, set, [&](double change) {
            PlacedHoles all = placed(holes, laid.holes);
            all.size *= 1.0 + change;
            return all;
        });
        ledger.add("holes.size", holes.size,
                   [&](std::size_t k) { return d[k] + front_share(device, set.sensitivities[k]); });
    }
    if (holes.pitch.deviation_si() > 0.0 && holes.lattice != Lattice::list) {
        const auto d = open_derivative(device, laid, effort, set, [&](double change) {
            PlacedHoles all = placed(holes, laid.holes);
            for (Point& p : all.centres) p = {p.x * (1.0 + change), p.y * (1.0 + change)};
            return all;
        });
        ledger.add("holes.pitch", holes.pitch, [&](std::size_t k) { return d[k]; });
    }
}

void add_holes(const Device& device, const FilmOnOutline& laid, const Effort& effort, const ModeSet& set,
               Ledger& ledger) {
    if (!device.holes) return;
    const HolePattern& holes = *device.holes;
    if (!laid.film.openings.empty()) return add_open_holes(device, laid, effort, set, ledger);
    if (holes.size.deviation_si() > 0.0) {
        const auto d =
            film_derivative(set, effort, [&](double change) { return with_hole_size(device, laid, effort, change); });
        ledger.add("holes.size", holes.size,
                   [&](std::size_t k) { return d[k] + front_share(device, set.sensitivities[k]); });
    }
    if (holes.pitch.deviation_si() > 0.0) {
        const auto d =
            film_derivative(set, effort, [&](double change) { return with_pitch(device, laid, effort, change); });
        ledger.add("holes.pitch", holes.pitch, [&](std::size_t k) { return d[k]; });
    }
}

}  // namespace

void add_uncertainties(const Device& device, const FilmOnOutline& laid, const Effort& effort, ModeSet& set) {
    if (std::holds_alternative<Released>(device.outline)) {
        const std::vector<double> moved = front_derivative(device, laid, effort, set);
        for (std::size_t k = 0; k < moved.size(); ++k) set.sensitivities[k].rim = moved[k];
    }
    Ledger ledger(set);
    add_film(device, laid, effort, set, ledger);
    add_outline(device.outline, set, ledger);
    add_patches(device, laid, effort, set, ledger);
    add_holes(device, laid, effort, set, ledger);
    ledger.close();
}

}  // namespace tymbal
