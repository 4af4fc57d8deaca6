// The exact resonance of mirrors and film against closed formulas over their range, and against itself.
#include "tymbal/cavity/resonance.h"
#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"
#include "tymbal/light/stack.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <random>

using namespace tymbal;

namespace {

using Complex = std::complex<double>;
constexpr double pi = constants::pi, c = constants::light_speed_m_per_s;
constexpr double wavelength = 1064e-9;
constexpr double omega = 2.0 * pi * c / wavelength;

double off(double value, double wanted) {
    return std::abs(value / wanted - 1.0);
}

FilmAmplitudes nitride(Complex index, double thickness) {
    const auto at = [&](double step) { return respond({1.0, {{index, thickness}}, 1.0}, wavelength / (1.0 + step)); };
    const double e = 1e-4;
    const Complex dr = (at(e).r - at(-e).r) / (2.0 * e * omega), dt = (at(e).t - at(-e).t) / (2.0 * e * omega);
    return {at(0.0).r, at(0.0).r, at(0.0).t, dr, dr, dt, thickness};
}

/// A film of no thickness that loses nothing: r = -i |r| exp(i a), t = |t| exp(i a).
FilmAmplitudes sheet(double reflectivity) {
    const Complex phase = std::polar(1.0, 0.3);
    const Complex r = Complex(0.0, -std::sqrt(reflectivity)) * phase, t = std::sqrt(1.0 - reflectivity) * phase;
    return {r, r, t, 0.0, 0.0, 0.0, 0.0};
}

CavityOptics middle_of(double length, double input, double end) {
    return {wavelength, 0.5 * length, 0.5 * length, {input, 0.0}, {end, 0.0}, false};
}

/// Arms and film hold energy, which both mirrors and the film drain.
double energy_length(const CavityOptics& o, const CavityPoint& p) {
    return p.input_arm_energy * (o.input_arm_m + p.position_m) + p.end_arm_energy * (o.end_arm_m - p.position_m);
}

}  // namespace

TEST_SUITE("reference") {
    TEST_CASE("nitride of 50 nm in the middle of 10 mm couples, bends and loses as a separate calculation says") {
        // L = 10 mm, 1064 nm, n = 2, h = 50 nm: R .148493, G/2pi 21.7151 MHz/nm, omega''/2pi 277.93 kHz/nm^2; mirrors
        // of 100 ppm: kappa/2pi 477.14 kHz; 100 and 10 ppm: 262.42 kHz in the mean, 179.7 and 345.2 where the coupling
        // is largest, finesse 57 120; n = 2 + 1e-6 i: film 85.92 to 8730.7 Hz, mean 4408.3, A 9.239e-7 [computed:
        // closed formulas and a prototype in Python]. The formulas leave out terms of lambda/L = 1e-4 and T = 1e-4.
        const FilmAmplitudes film = nitride(2.0, 50e-9);
        CHECK(off(std::norm(film.reflected_front), 0.148493) < 3e-6);
        const HalfWavelength even = along_half_wavelength(middle_of(10e-3, 100e-6, 100e-6), film, 201);
        CHECK(off(std::abs(even.place.linear_coupling_hz_per_m), 21.7151e15) < 1e-4);
        CHECK(off(even.largest_quadratic_coupling_hz_per_m2, 277.93e21) < 1e-4);
        CHECK(off(even.kappa_mean_hz, 477.14e3) < 1e-4);
        const HalfWavelength over = along_half_wavelength(middle_of(10e-3, 100e-6, 10e-6), film, 201);
        CHECK(off(over.kappa_mean_hz, 262.42e3) < 1e-4);
        CHECK(off(over.finesse, 57120.0) < 1e-4);
        CHECK(off(over.place.kappa_hz, 179.7e3) < 3e-4);
        const CavityPoint& other = over.points[50];  // an eighth of a wavelength from the turning point
        CHECK(off(other.kappa_hz, 345.2e3) < 3e-4);
        const HalfWavelength lossy =
            along_half_wavelength(middle_of(10e-3, 100e-6, 100e-6), nitride({2.0, 1e-6}, 50e-9), 201);
        const auto [least, most] = std::minmax_element(
            lossy.points.begin(), lossy.points.end(),
            [](const CavityPoint& a, const CavityPoint& b) { return a.kappa_film_hz < b.kappa_film_hz; });
        CHECK(off(least->kappa_film_hz, 85.92) < 4e-4);
        CHECK(off(most->kappa_film_hz, 8730.7) < 1e-4);
        CHECK(off(lossy.kappa_film_mean_hz, 4408.3) < 1e-4);
        CHECK(off(respond({1.0, {{ComplexIndex(2.0, 1e-6), 50e-9}}, 1.0}, wavelength).absorption, 9.239e-7) < 1e-4);
    }

    TEST_CASE("in the middle the coupling is 2 |r| omega/L and the bend 16 pi^2 c |r|/(L lambda^2 |t|)") {
        // Jayich et al., New J. Phys. 10, 095008 (2008) (from memory); exact up to terms of lambda/L
        for (const double reflectivity : {1e-6, 0.01, 0.15, 0.5, 0.9, 0.99}) {
            CAPTURE(reflectivity);
            const double r = std::sqrt(reflectivity), t = std::sqrt(1.0 - reflectivity), length = 0.1;
            const HalfWavelength h = along_half_wavelength(middle_of(length, 1e-5, 1e-5), sheet(reflectivity), 401);
            CHECK(off(std::abs(h.place.linear_coupling_hz_per_m), 2.0 * r * c / wavelength / length) < 2e-4);
            CHECK(off(h.largest_quadratic_coupling_hz_per_m2,
                      8.0 * pi * c * r / (length * wavelength * wavelength * t)) < 2e-4);
        }
    }

    TEST_CASE("anywhere the coupling is omega (w1 - w2)/(w1 L1 + w2 L2) and each mirror drains the energy before it") {
        // First order in the losses [derived: energy and momentum of the light]; w energy per length of an arm. Arms
        // are known to half a wavelength, 5e-4 of the shortest, by which large couplings differ.
        for (const double share : {0.02, 0.3, 0.5, 0.9}) {
            for (const double reflectivity : {0.05, 0.5, 0.98}) {
                CAPTURE(share);
                CAPTURE(reflectivity);
                const double length = 0.05;
                const CavityOptics o{wavelength,     share * length, (1.0 - share) * length,
                                     {40e-6, 20e-6}, {10e-6, 5e-6},  false};
                const HalfWavelength h = along_half_wavelength(o, sheet(reflectivity), 41);
                for (const CavityPoint& p : h.points) {
                    const double w1 = p.input_arm_energy, w2 = p.end_arm_energy, held = energy_length(o, p);
                    const double coupling = -c / wavelength * (w1 - w2) / held;
                    const double scale = std::max(c / wavelength / length, std::abs(coupling));
                    CHECK(std::abs(p.linear_coupling_hz_per_m - coupling) < 2e-4 * scale);
                    const double kappa = c * (60e-6 * w1 + 15e-6 * w2) / (2.0 * held) / (2.0 * pi);
                    CHECK(off(p.kappa_hz, kappa) < 2e-4);
                    CHECK(off(p.kappa_input_hz, c * 40e-6 * w1 / (2.0 * held) / (2.0 * pi)) < 2e-4);
                    CHECK(std::max(w1 / w2, w2 / w1) <=
                          (1.0 + std::sqrt(reflectivity)) / (1.0 - std::sqrt(reflectivity)) * (1.0 + 1e-3));
                }
            }
        }
    }

    TEST_CASE("positions count from a turning point, wherever the film stands") {
        for (const double share : {0.04, 0.2, 0.5, 0.98}) {
            CAPTURE(share);
            const CavityOptics o{wavelength, share * 10e-3, (1.0 - share) * 10e-3, {1e-5, 0.0}, {1e-5, 0.0}, false};
            const HalfWavelength h = along_half_wavelength(o, nitride({2.0, 0.0}, 50e-9), 41);
            CHECK(h.points.front().position_m == 0.0);
            CHECK(std::abs(h.points.front().linear_coupling_hz_per_m) <
                  1e-6 * std::abs(h.place.linear_coupling_hz_per_m));
        }
    }

    TEST_CASE("a film that absorbs drains 1 - |r + t|^2 at the antinode and 1 - |r - t|^2 at the node") {
        // c/L times that, film in the middle, first order in the losses [derived]
        for (const double extinction : {1e-7, 1e-5, 1e-4}) {
            CAPTURE(extinction);
            const FilmAmplitudes film = nitride({2.0, extinction}, 50e-9);
            const Complex r = film.reflected_front, t = film.transmitted;
            const double length = 10e-3, unit = c / length / (2.0 * pi);
            const HalfWavelength h = along_half_wavelength(middle_of(length, 1e-6, 1e-6), film, 41);
            const double antinode = unit * (1.0 - std::norm(r + t)), node = unit * (1.0 - std::norm(r - t));
            const double first = h.points[0].kappa_film_hz, second = h.points[20].kappa_film_hz;
            CHECK(off(std::max(first, second), std::max(antinode, node)) < 5e-4);
            CHECK(off(std::min(first, second), std::min(antinode, node)) < 5e-4);
        }
    }

    TEST_CASE("a film in the place of the end mirror couples by omega/L and loses what it passes") {
        const double length = 1e-3, reflectivity = 0.999;
        const CavityOptics o{wavelength, length, 0.0, {1e-4, 2e-4}, {}, true};
        const HalfWavelength h = along_half_wavelength(o, sheet(reflectivity), 11);
        CHECK(off(std::abs(h.place.linear_coupling_hz_per_m), c / wavelength / length) < 1e-3);
        CHECK(off(h.kappa_mean_hz, c * (3e-4 + 1e-3) / (2.0 * length) / (2.0 * pi)) < 2e-3);
        CHECK(off(h.mode_spacing_hz, 0.5 * c / length) < 1e-12);
    }

    TEST_CASE("a dispersive end mirror lengthens the cavity by half of its delay") {
        const double length = 100e-6, delay = 2e-12;  // 300 um of round trip on a narrow line
        FilmAmplitudes film = sheet(0.999);
        film.front_slope = film.back_slope = Complex(0.0, delay) * film.reflected_front;
        film.transmitted_slope = Complex(0.0, delay) * film.transmitted;
        const CavityOptics o{wavelength, length, 0.0, {1e-4, 0.0}, {}, true};
        const HalfWavelength h = along_half_wavelength(o, film, 3);
        const double longer = length + 0.5 * c * delay;
        CHECK(off(h.mode_spacing_hz, 0.5 * c / longer) < 1e-9);
        CHECK(off(std::abs(h.points[0].linear_coupling_hz_per_m), c / wavelength / longer) < 1e-3);
        CHECK(off(h.points[0].kappa_hz, c * 1.1e-3 / (2.0 * longer) / (2.0 * pi)) < 2e-3);
    }
}

TEST_SUITE("invariant") {
    TEST_CASE("couplings are the slopes of what is printed beside them") {
        const HalfWavelength h = along_half_wavelength({wavelength, 2e-3, 8e-3, {1e-4, 1e-5}, {5e-5, 0.0}, false},
                                                       nitride({2.3, 1e-5}, 120e-9), 4001);
        double largest = 0.0, worst_slope = 0.0, worst_bend = 0.0;
        for (const CavityPoint& p : h.points) largest = std::max(largest, std::abs(p.linear_coupling_hz_per_m));
        for (std::size_t k = 1; k + 1 < h.points.size(); ++k) {
            const CavityPoint &a = h.points[k - 1], &p = h.points[k], &b = h.points[k + 1];
            const double across = b.position_m - a.position_m;
            worst_slope =
                std::max(worst_slope, std::abs((b.shift_hz - a.shift_hz) / across - p.linear_coupling_hz_per_m));
            worst_bend =
                std::max(worst_bend, std::abs((b.linear_coupling_hz_per_m - a.linear_coupling_hz_per_m) / across -
                                              p.quadratic_coupling_hz_per_m2));
        }
        // central differences leave (4 pi/lambda)^2 step^2/6 = 4e-7 at this step, several times that where the film
        // reflects well
        CHECK(worst_slope < 1e-5 * largest);
        CHECK(worst_bend < 1e-5 * h.largest_quadratic_coupling_hz_per_m2);
    }

    TEST_CASE("the film's travel ends where it began, and a turned cavity is its own mirror image") {
        const FilmAmplitudes film = nitride(2.0, 50e-9);
        const CavityOptics o{wavelength, 4e-3, 6e-3, {1e-4, 0.0}, {1e-5, 2e-5}, false};
        const CavityOptics turned{wavelength, 6e-3, 4e-3, {1e-5, 2e-5}, {1e-4, 0.0}, false};
        const HalfWavelength h = along_half_wavelength(o, film, 101), back = along_half_wavelength(turned, film, 101);
        // half a wavelength more of one arm changes it by 1e-4
        CHECK(off(h.points.back().kappa_hz, h.points.front().kappa_hz) < 3e-4);
        CHECK(off(h.kappa_mean_hz, back.kappa_mean_hz) < 3e-4);
        for (std::size_t k = 0; k <= 100; ++k) {
            const CavityPoint &p = h.points[k], &q = back.points[100 - k];
            CHECK(std::abs(p.linear_coupling_hz_per_m + q.linear_coupling_hz_per_m) <
                  5e-4 * std::abs(h.place.linear_coupling_hz_per_m));
            CHECK(off(p.kappa_hz, q.kappa_hz) < 5e-4);
        }
    }

    TEST_CASE("of a thousand random cavities none has a bad number, and none loses more in its parts than in all") {
        std::mt19937 random(7);
        const auto between = [&](double low, double high) {
            return std::exp(std::uniform_real_distribution<double>(std::log(low), std::log(high))(random));
        };
        int refused = 0;
        for (int k = 0; k < 1000; ++k) {
            CAPTURE(k);
            // One draw a line: the order of a call's arguments is the compiler's.
            const std::complex<double> index{between(1.01, 4.0), between(1e-9, 0.1)};
            const FilmAmplitudes film = nitride(index, between(10e-9, 2e-6));
            const bool end = k % 7 == 0;
            const CavityOptics o{wavelength,
                                 between(5e-6, 1.0),
                                 end ? 0.0 : between(5e-6, 1.0),
                                 {between(1e-7, 0.3), between(1e-9, 1e-3)},
                                 {end ? 0.0 : between(1e-9, 0.3), 0.0},
                                 end};
            HalfWavelength h;
            try {
                h = along_half_wavelength(o, film, 31);
            } catch (const NoAnswer&) {
                ++refused;
                continue;
            }
            for (const CavityPoint& p : h.points) {
                bool sound = std::isfinite(p.shift_hz) && std::isfinite(p.linear_coupling_hz_per_m) &&
                             std::isfinite(p.quadratic_coupling_hz_per_m2) && p.kappa_hz > 0.0 &&
                             p.kappa_film_hz >= 0.0 && p.kappa_input_hz > 0.0;
                sound = sound && p.kappa_film_hz + p.kappa_input_hz <= p.kappa_hz * (1.0 + 1e-12);
                sound = sound && std::abs(p.input_arm_energy + p.end_arm_energy - 1.0) < 1e-12;
                REQUIRE(sound);
            }
            REQUIRE(std::isfinite(h.finesse));
            REQUIRE(h.finesse > 0.0);
        }
        CHECK(refused < 10);
    }

    TEST_CASE("an end mirror whose phase runs backwards faster than the cavity is long gave a negative finesse") {
        // Half a wave of film of index 2 reflects nothing but what absorption leaves: with losses its phase turns
        // there.
        const CavityOptics o{wavelength, 6e-6, 0.0, {0.1, 1e-4}, {0.0, 0.0}, true};
        int refused = 0;
        for (int k = -40; k <= 40; ++k) {
            const double thickness = wavelength / 4.0 * (1.0 + 2e-3 * k);
            try {
                const HalfWavelength h = along_half_wavelength(o, nitride({2.0, 1e-3}, thickness), 11);
                CHECK(h.finesse > 0.0);
            } catch (const NoAnswer&) {
                ++refused;
            }
        }
        CHECK(refused > 0);
        CHECK(refused < 40);
    }
}
