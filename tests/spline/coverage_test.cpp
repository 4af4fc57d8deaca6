// Do stated errors cover, in every class of film? Random films against grids several times finer, turned where film has
// corners: there the two cut the film elsewhere. (That the splines' limit itself is right, other tests show.)
#include "spline/film_modes.h"

#include "tymbal/base/constants.h"
#include "tymbal/geometry/boundary.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <random>
#include <string>

using namespace tymbal;
using namespace tymbal::spline;

namespace {

constexpr double pi = constants::pi, modulus = 250e9, poisson = 0.25;

class Draw {
public:
    explicit Draw(unsigned seed) : generator_(seed) {}
    double between(double low, double high) { return low + (high - low) * share(); }
    double by_factor(double low, double high) { return low * std::pow(high / low, share()); }

private:
    double share() { return static_cast<double>(generator_()) / 4294967296.0; }
    std::mt19937 generator_;
};

std::vector<Point> turned(std::vector<Point> points, double angle) {
    for (Point& p : points)
        p = {p.x * std::cos(angle) - p.y * std::sin(angle), p.x * std::sin(angle) + p.y * std::cos(angle)};
    return points;
}

/// A film without outline, and its size: layer over size .0005 to .05.
FilmProblem blank(Draw& draw, double& size) {
    FilmProblem p;
    const double h = draw.by_factor(20e-9, 400e-9), stress = draw.by_factor(0.1e9, 1.5e9);
    p.sheet = {modulus * h, poisson, modulus * h * h * h / (12.0 * (1.0 - poisson * poisson)), 3100.0 * h, stress * h};
    p.count = 10;
    size = std::sqrt(p.sheet.bending / p.sheet.tension) / draw.by_factor(0.0005, 0.05);
    return p;
}

FilmProblem holed_disc(Draw& draw, double) {
    double size = 0.0;
    FilmProblem p = blank(draw, size);
    const double hole = draw.between(0.1, 0.7) * size, off = draw.between(0.0, 0.3) * (size - hole);
    p.rim = circle_figure({0.0, 0.0}, size);
    p.openings = {circle_figure({off, 0.0}, hole)};
    p.narrowest = std::min(hole, 0.5 * (size - hole) - off);
    return p;
}

FilmProblem holed_square(Draw& draw, double) {
    double size = 0.0;
    FilmProblem p = blank(draw, size);
    const double hole = draw.between(0.1, 0.7) * size, x = draw.between(-0.3, 0.3) * (size - hole),
                 y = draw.between(-0.3, 0.3) * (size - hole);
    p.rim = rectangle_figure({0.0, 0.0}, {size, size}, 0.0, 0.0);
    p.openings = {circle_figure({x, y}, hole)};
    p.narrowest = std::min(hole, 0.5 * (size - hole) - std::max(std::abs(x), std::abs(y)));
    return p;
}

FilmProblem holed_polygon(Draw& draw, double) {
    double size = 0.0;
    FilmProblem p = blank(draw, size);
    const int corners = 3 + static_cast<int>(draw.between(0.0, 5.0));
    std::vector<Point> rim;
    for (int k = 0; k < corners; ++k) {
        const double angle = 2.0 * pi * (k + draw.between(-0.25, 0.25)) / corners,
                     r = 0.5 * size * draw.between(0.7, 1.0);
        rim.push_back({r * std::cos(angle), r * std::sin(angle)});
    }
    p.rim = polygon_figure(rim);
    const double hole = 0.12 * size * draw.between(0.5, 1.0), off = 0.13 * size;
    for (const double x : {-off, off}) p.openings.push_back(circle_figure({x, draw.between(-0.05, 0.05) * size}, hole));
    p.narrowest = std::min(hole, 2.0 * off - hole);
    return p;
}

FilmProblem tethered_pad(Draw& draw, double angle) {
    double size = 0.0;
    FilmProblem p = blank(draw, size);
    const double tether = size * draw.by_factor(0.03, 0.15), pad = size * draw.between(0.15, 0.3);
    const double half = 0.5 * size;
    p.rim = polygon_figure(turned({{-half, -half}, {half, -half}, {half, half}, {-half, half}}, angle));
    for (const int sx : {-1, 1})
        for (const int sy : {-1, 1}) {
            std::vector<Point> corner{
                {0.5 * tether, pad}, {0.5 * tether, size}, {size, size}, {size, 0.5 * tether}, {pad, 0.5 * tether}};
            for (Point& q : corner) q = {sx * q.x, sy * q.y};
            if (polygon_area(corner) < 0.0) std::reverse(corner.begin(), corner.end());
            p.openings.push_back(polygon_figure(turned(corner, angle)));
        }
    p.narrowest = tether;
    return p;
}

struct Tally {
    int modes = 0, frequencies = 0, shares = 0;
    std::vector<double> over_true;  ///< stated over true error of the frequencies
};

void compare(const FilmProblem& film, FilmProblem finer, Tally& tally) {
    const FilmModes found = film_modes(film);
    finer.accuracy = 1e-12;
    finer.most_unknowns = std::max(25'000, 9 * static_cast<int>(found.unknowns));
    const FilmModes reference = film_modes(finer);
    for (std::size_t k = 0; k < found.modes.size(); ++k) {
        const FilmMode &here = found.modes[k], &there = reference.modes[k];
        const double miss = 0.5 * std::abs(here.square.value / there.square.value - 1.0),
                     stated = 0.5 * here.square.error / here.square.value;
        const double share = here.bending_share.value - there.bending_share.value;
        ++tally.modes;
        tally.frequencies += miss < stated && stated < 1e-2 ? 1 : 0;
        tally.shares += std::abs(share) < here.bending_share.error ? 1 : 0;
        tally.over_true.push_back(stated / std::max(miss, 1e-12));
    }
}

}  // namespace

TEST_SUITE("deep") {
    TEST_CASE(
        "stated errors cover in nineteen modes of twenty, in each class of film, and are not ten times too large") {
        struct Class {
            std::string name;
            FilmProblem (*film)(Draw&, double);
            double turn;  ///< of the finer grid's film
        };
        for (const Class& c : {Class{"discs with a free hole", holed_disc, 0.0},
                               {"squares with one", holed_square, 0.0},
                               {"polygons with two", holed_polygon, 0.0},
                               {"tethered pads", tethered_pad, 0.3}}) {
            Tally tally;
            for (unsigned seed = 500; seed < 512; ++seed) {  // none of those that the errors were set by
                Draw here(seed), there(seed);
                compare(c.film(here, 0.0), c.film(there, c.turn), tally);
            }
            const auto middle = tally.over_true.begin() + static_cast<std::ptrdiff_t>(tally.over_true.size() / 2);
            std::nth_element(tally.over_true.begin(), middle, tally.over_true.end());
            MESSAGE(c.name, ": of ", tally.modes, " frequencies ", tally.frequencies, ", bending shares ", tally.shares,
                    "; stated over true ", *middle);
            CHECK(tally.frequencies >= 0.95 * tally.modes);
            CHECK(tally.shares >= 0.95 * tally.modes);
            CHECK(*middle < 10.0);
        }
    }
}
