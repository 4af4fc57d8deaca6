// What must hold for every sound film, on random ones of a fixed seed: scaling, order by Rayleigh's principle,
// symmetry.
#include "support/approx.h"
#include "tymbal/modes/buckling.h"
#include "tymbal/modes/find_modes.h"

#include "support/films.h"
#include "tymbal/base/error.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>
#include <string>

using namespace tymbal;
using std::numbers::pi;

namespace {

/// The same numbers on every machine, which the library's distributions do not promise.
class Dice {
public:
    explicit Dice(unsigned seed) : engine_(seed) {}
    double between(double low, double high) {
        return low + (high - low) * (static_cast<double>(engine_()) / 4294967296.0);
    }
    double spread(double low, double high) { return std::exp(between(std::log(low), std::log(high))); }

private:
    std::mt19937 engine_;
};

/// A star-shaped polygon of five to nine corners about the origin, 1 to 2 across.
std::vector<Point> corners(Dice& dice) {
    const int count = static_cast<int>(dice.between(5.0, 9.99));
    std::vector<Point> out;
    for (int k = 0; k < count; ++k) {
        const double angle = 2.0 * pi * (k + dice.between(-0.2, 0.2)) / count, reach = dice.between(0.6, 1.0);
        out.push_back({reach * std::cos(angle), reach * std::sin(angle)});
    }
    return out;
}

struct Case {
    std::string name;
    Outline outline;
    double scale = 1.0;  ///< half a typical side
};

Case any_outline(Dice& dice, int k) {
    const double size = dice.spread(20e-6, 2e-3);
    switch (k % 4) {
        case 0: return {"rectangle", simple::rectangle(size, size * dice.spread(0.2, 5.0)), size};
        case 1: return {"disc", simple::disc(size), size};
        case 2: return {"ring", simple::ring(size, size * dice.between(0.1, 0.6)), size};
        default: break;
    }
    std::vector<Point> points = corners(dice);
    for (Point& p : points) p = {size * p.x, size * p.y};
    return {"polygon", Polygon{points}, size};
}

Outline resized(const Outline& outline, double by) {
    if (const auto* r = std::get_if<Rectangle>(&outline))
        return simple::rectangle(by * r->width.si(), by * r->height.si());
    if (const auto* d = std::get_if<Disc>(&outline)) return simple::disc(by * d->diameter.si());
    if (const auto* r = std::get_if<Ring>(&outline))
        return simple::ring(by * r->outer_diameter.si(), by * r->inner_diameter.si());
    Polygon polygon = std::get<Polygon>(outline);
    for (Point& p : polygon.vertices) p = {by * p.x, by * p.y};
    return polygon;
}

std::vector<Mode> solve(const Outline& outline, const PaintedFilm& film, int count = 4) {
    return find_modes({outline, film, count, 2e-3}).modes;
}

/// f of a is at least that of b, mode by mode, as far as the errors of both tell.
void rises(const std::vector<Mode>& a, const std::vector<Mode>& b) {
    for (std::size_t k = 0; k < a.size(); ++k)
        CHECK(a[k].frequency_hz + a[k].discretisation_error_hz >= b[k].frequency_hz - b[k].discretisation_error_hz);
}

void scales(const std::vector<Mode>& a, const std::vector<Mode>& b, double factor, double tolerance) {
    for (std::size_t k = 0; k < a.size(); ++k)
        CHECK(a[k].frequency_hz == sample::Approx(factor * b[k].frequency_hz).epsilon(tolerance));
}

/// N b^2/D of a long clamped strip, lowest over the wave number k along it: shapes (A cos(beta y) + B cosh(k y)) cos(k
/// x) with N/D = beta^2 + k^2 and beta tan(beta b/2) = -k tanh(k b/2) [derived]; 37.08 at k = 2.4/b.
double strip_load() {
    double least = 1e300;
    for (double k = 0.1; k < 6.0; k += 0.01) {
        double low = pi + 1e-9, high = 2.0 * pi;
        for (int step = 0; step < 60; ++step) {
            const double beta = 0.5 * (low + high);
            (beta * std::tan(0.5 * beta) + k * std::tanh(0.5 * k) < 0.0 ? low : high) = beta;
        }
        least = std::min(least, low * low + k * k);
    }
    return least;
}

}  // namespace

TEST_SUITE("slow") {
    TEST_CASE("random films: frequencies scale with the root of stress, one over size, one over the root of density") {
        Dice dice(1);
        for (int k = 0; k < 12; ++k) {
            const Case c = any_outline(dice, k);
            CAPTURE(k);
            CAPTURE(c.name);
            const PaintedFilm film = simple::nitride(dice.spread(20e-9, 200e-9), dice.spread(0.1e9, 1.5e9));
            const std::vector<Mode> plain = solve(c.outline, film);
            // Stress and modulus together scale the whole stiffness.
            PaintedFilm tense = film;
            tense.stress *= 4.0;
            tense.modulus *= 4.0;
            scales(solve(c.outline, tense), plain, 2.0, 1e-6);
            PaintedFilm heavy = film;
            heavy.density *= 2.25;
            scales(solve(c.outline, heavy), plain, 1.0 / 1.5, 1e-6);
            // Size and thickness with the modulus as 1/h^2 keep the clamped layer in proportion.
            PaintedFilm same_layer = film;
            same_layer.modulus *= 9.0;
            scales(solve(resized(c.outline, 3.0), same_layer), plain, 1.0 / 3.0, 1e-6);
            // Stress alone: as its root, but for what bending adds, which grows slower.
            PaintedFilm tenser = film;
            tenser.stress *= 2.0;
            const std::vector<Mode> up = solve(c.outline, tenser);
            for (std::size_t m = 0; m < up.size(); ++m) {
                const double error =
                    (up[m].discretisation_error_hz + plain[m].discretisation_error_hz) / plain[m].frequency_hz;
                const double ratio = up[m].frequency_hz / plain[m].frequency_hz;
                CHECK(ratio <= std::numbers::sqrt2 * (1.0 + error));
                CHECK(ratio >=
                      std::numbers::sqrt2 * (1.0 - error) *
                          (1.0 - 3.0 * std::sqrt(film.bending() / (film.stress * film.thickness)) / (0.1 * c.scale)));
            }
        }
    }

    TEST_CASE("random films: more stress, a stiffer film, a clamped post and a smaller outline raise every frequency") {
        Dice dice(2);
        for (int k = 0; k < 12; ++k) {
            const Case c = any_outline(dice, k);
            CAPTURE(k);
            CAPTURE(c.name);
            const PaintedFilm film = simple::nitride(dice.spread(20e-9, 400e-9), dice.spread(0.02e9, 1.5e9));
            const std::vector<Mode> plain = solve(c.outline, film);
            PaintedFilm more = film;
            more.stress *= 1.0 + dice.between(0.1, 1.0);
            rises(solve(c.outline, more), plain);
            more = film;
            more.modulus *= 1.0 + dice.between(0.1, 1.0);
            rises(solve(c.outline, more), plain);
            rises(solve(resized(c.outline, dice.between(0.7, 0.97)), film), plain);
            more = film;
            more.density *= 1.0 + dice.between(0.05, 1.0);  // mass added everywhere
            rises(plain, solve(c.outline, more));
            if (const auto* d = std::get_if<Disc>(&c.outline))
                rises(solve(simple::ring(d->diameter.si(), d->diameter.si() * dice.between(0.05, 0.5)), film), plain);
        }
    }

    TEST_CASE("random polygons turned by any angle and mirrored keep their frequencies within the errors reported") {
        Dice dice(3);
        for (int k = 0; k < 8; ++k) {
            CAPTURE(k);
            std::vector<Point> points = corners(dice);
            const PaintedFilm film = simple::film(1.0, dice.spread(1e-7, 1e-4));
            const std::vector<Mode> straight = solve(Polygon{points}, film);
            std::vector<Point> mirrored(points.rbegin(), points.rend());
            for (Point& p : mirrored) p.x = -p.x;
            scales(solve(Polygon{mirrored}, film), straight, 1.0, 1e-7);
            const double c = std::cos(dice.between(0.0, 6.3)), s = std::sqrt(1.0 - c * c);
            for (Point& p : points) p = {c * p.x - s * p.y, s * p.x + c * p.y};
            const std::vector<Mode> turned = solve(Polygon{points}, film);
            for (std::size_t m = 0; m < turned.size(); ++m)
                CHECK(std::abs(turned[m].frequency_hz - straight[m].frequency_hz) <=
                      turned[m].discretisation_error_hz + straight[m].discretisation_error_hz);
        }
    }
}

TEST_SUITE("reference") {
    TEST_CASE("the critical stress of square, disc and strip is the handbooks'") {
        // Equal-biaxial, clamped: square 5.30 pi^2 D/L^2, disc j11^2 D/R^2, long strip 4 pi^2 D/b^2 (Timoshenko and
        // Gere, Theory of Elastic Stability, 2nd ed., chapter 9, from memory). The film here has D = 1 and a stress of
        // -1 N/m.
        const PaintedFilm film = simple::film(-1.0, 1.0);
        const auto tension = [&](const Outline& outline, int x, int y) {
            const CriticalStress c = critical_stress({outline, film, 1, 1e-3}, x, y);
            CHECK(c.error > 0.0);
            return -c.pascal * film.thickness;
        };
        CHECK(tension(simple::rectangle(1, 1), 20, 20) == sample::Approx(5.30 * pi * pi).epsilon(0.005));
        CHECK(tension(simple::disc(2), 20, 20) == sample::Approx(3.8317059702 * 3.8317059702).epsilon(0.005));
        CHECK(tension(simple::rectangle(20, 1), 160, 20) == sample::Approx(strip_load()).epsilon(0.01));
    }

    TEST_CASE(
        "near buckling a film has frequencies and a warning; past it the critical stress, never a number that is "
        "none") {
        Dice dice(4);
        for (int k = 0; k < 8; ++k) {
            const Case c = any_outline(dice, k);
            CAPTURE(k);
            CAPTURE(c.name);
            const PaintedFilm film = simple::nitride(dice.spread(100e-9, 1e-6), -1.0);
            const CriticalStress critical = critical_stress({c.outline, film, 3, 1e-2}, 24, 24);
            for (const double share : {0.5, 0.85, 0.97}) {
                PaintedFilm pressed = film;
                pressed.stress = share * critical.pascal;
                try {
                    const ModeSet set = find_modes({c.outline, pressed, 3, 1e-2});
                    for (const Mode& mode : set.modes) CHECK(mode.frequency_hz > 0.0);
                    REQUIRE_FALSE(set.warnings.empty());
                    CHECK(set.warnings.front().code == "near-buckling");
                } catch (const NoAnswer& e) {  // the coarsest grid takes it for buckled
                    CHECK(share > 0.9);
                    CHECK(std::string(e.what()).find("too close to buckling") != std::string::npos);
                }
            }
            for (const double share : {1.03, 1.5, 1e3}) {
                PaintedFilm pressed = film;
                pressed.stress = share * critical.pascal;
                CHECK_THROWS_WITH_AS((void)find_modes({c.outline, pressed, 3, 1e-2}),
                                     doctest::Contains("buckles at a stress of -"), NoAnswer);
            }
        }
    }
}
