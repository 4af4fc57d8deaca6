// What light on holes tends to where their pitch is far from the wavelength, and what that leaves out: the program
// takes these limits there (src/task/seen_film.cpp) and states these bounds as errors.
#include "tymbal/film/unit_cell.h"
#include "tymbal/light/fitted_film.h"
#include "tymbal/light/light_memo.h"
#include "tymbal/readout/refractive_index.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace tymbal;

namespace {

constexpr double wavelength = 1064e-9;

HoleLattice triangular(double pitch, double size) {
    return {Lattice::triangular, HoleShape::circle, pitch, size * pitch};
}

double open_share(double size) {
    return hole_area(HoleShape::circle, size) / cell_area(Lattice::triangular);
}

void check_near(double value, double expected, double error) {
    CAPTURE(value);
    CAPTURE(expected);
    CHECK(std::abs(value - expected) < error);
}

}  // namespace

TEST_SUITE("reference") {
    TEST_CASE("a slab reflects as the formula of the membrane-in-the-middle papers says, with the sign of a sheet") {
        // Jayich et al., New J. Phys. 10, 095008 (2008) (formula from memory); n = 2 [computed]: 50 nm .14849, 100 nm
        // .32491, 133 nm .3600 at 1064 nm; 50 nm .08044 at 1550 nm
        check_near(see_layers({{2.0, 50e-9}}, 1064e-9).reflectivity, 0.14849, 1e-5);
        check_near(see_layers({{2.0, 100e-9}}, 1064e-9).reflectivity, 0.32491, 1e-5);
        check_near(see_layers({{2.0, 133e-9}}, 1064e-9).reflectivity, 0.36, 1e-5);
        check_near(see_layers({{2.0, 50e-9}}, 1550e-9).reflectivity, 0.08044, 5e-5);
        // A thin sheet of polarisable matter radiates i k h (n^2 - 1)/2 of the incident field with exp(-i omega t)
        // [derived]
        const double h = 1e-13, sheet = 3.14159265358979 * h / wavelength * 3.0;
        const std::complex<double> r = see_layers({{2.0, h}}, wavelength).along.front;
        CHECK(std::abs(r.imag() / sheet - 1.0) < 1e-5);
        CHECK(std::abs(r.real()) < 1e-5 * sheet);
    }
}

TEST_SUITE("convergence") {
    TEST_CASE(
        "below a twenty-fifth of the wavelength an averaged index is off by less than 0.03 pitches per wavelength") {
        for (const double size : {0.4, 0.7})
            for (const double thickness : {50e-9, 100e-9, 200e-9})
                for (const double pitch : {0.02, 0.04}) {
                    const OpticalLayer film{2.0, thickness};
                    const OpticalLayer mean{perforated_index(2.0, open_share(size)), thickness};
                    const SeenFilm solved = see_lattice({triangular(pitch * wavelength, size), {film}, wavelength});
                    check_near(see_layers({mean}, wavelength).reflectivity, solved.reflectivity, 0.03 * pitch);
                }
    }

    TEST_CASE("above four wavelengths rays that meet film or hole are off by less than half the thickness per pitch") {
        for (const double size : {0.4, 0.7})
            for (const double thickness : {50e-9, 200e-9}) {
                const double pitch = 4.7 * wavelength;
                const std::vector<OpticalLayer> film{{2.0, thickness}};
                const SeenFilm rays = see_wide_holes(film, open_share(size), wavelength);
                const SeenFilm solved = see_lattice({triangular(pitch, size), film, wavelength});
                check_near(rays.reflectivity, solved.reflectivity, 0.5 * thickness / pitch);
            }
    }
}

TEST_SUITE("invariant") {
    TEST_CASE(
        "fitted over a range, a film on which a layer lies answers from both sides as solved at each wavelength") {
        const HoleLattice holes{Lattice::square, HoleShape::circle, 0.9e-6, 0.45e-6};
        const std::vector<OpticalLayer> layers{{1.45, 40e-9}, {2.0, 150e-9}};
        const auto fitted =
            fit_film(holes, [&](double) { return LayeredFilm{layers}; }, {0.95 * wavelength, 1.05 * wavelength});
        const SeenFilm a = fitted(wavelength), b = see_lattice({holes, layers, wavelength});
        CHECK(std::abs(a.along.front - b.along.front) < 1e-4);
        CHECK(std::abs(a.along.back - b.along.back) < 1e-4);
        CHECK(std::abs(a.along.through - b.along.through) < 1e-4);
        check_near(a.reflectivity, b.reflectivity, 1e-4);
    }

    TEST_CASE("what remembers lattices solves each once, and tells films apart by their layers") {
        const LightMemo memo;
        const HoleLattice holes{Lattice::square, HoleShape::circle, 0.9e-6, 0.45e-6};
        const double first = memo({holes, {{2.0, 100e-9}}, wavelength}).reflectivity;
        CHECK(memo({holes, {{2.0, 100e-9}}, wavelength}).reflectivity == first);
        CHECK(memo.size() == 1);
        CHECK(memo({holes, {{2.0, 101e-9}}, wavelength}).reflectivity != first);
        CHECK(memo.size() == 2);
    }
}
