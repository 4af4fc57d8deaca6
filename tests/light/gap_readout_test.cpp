#include "tymbal/light/gap_readout.h"
#include "support/approx.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace tymbal;

namespace {

FilmOverGap film(double thickness, ComplexIndex below, double wavelength, ComplexIndex index = 2.0) {
    return {see_layers({{index, thickness}}, wavelength), below, wavelength};
}

}  // namespace

TEST_SUITE("reference") {
    TEST_CASE("bare surfaces and quarter-wave layers reflect as Fresnel and Born & Wolf say") {
        // Born and Wolf, Principles of Optics, section 1.6 (from memory): ((n0 ns - n^2)/(n0 ns + n^2))^2 for a quarter
        // wave of n, and n = sqrt(ns) does not reflect
        CHECK(respond({1.0, {}, 1.5}, 1e-6).reflectivity == sample::Approx(0.04).epsilon(1e-12));
        const double n = 2.3, ns = 1.52;
        const double quarter = std::pow((ns - n * n) / (ns + n * n), 2);
        CHECK(respond({1.0, {{n, 0.25e-6 / n}}, ns}, 1e-6).reflectivity == sample::Approx(quarter).epsilon(1e-12));
        const double root = std::sqrt(ns);
        CHECK(respond({1.0, {{root, 0.25e-6 / root}}, ns}, 1e-6).reflectivity < 1e-20);
        // Half-wave layers are not seen
        CHECK(respond({1.0, {{n, 0.5e-6 / n}}, ns}, 1e-6).reflectivity ==
              sample::Approx(std::pow((1.0 - ns) / (1.0 + ns), 2)).epsilon(1e-12));
    }

    TEST_CASE("stacks of quarter waves follow the closed form of a dielectric mirror") {
        // Born and Wolf, section 1.6.5 (from memory): R = ((1 - (nl/nh)^2N nh^2... with N pairs high-low on glass:
        // ((n0/ns) - (n2/n3)^2N)/((n0/ns) + (n2/n3)^2N))^2 for equal outer media written for pairs n2 n3
        const double high = 2.3, low = 1.38, glass = 1.52;
        for (const int pairs : {1, 3, 6}) {
            OpticalStack stack{1.0, {}, glass};
            for (int k = 0; k < pairs; ++k) {
                stack.layers.push_back({high, 0.25e-6 / high});
                stack.layers.push_back({low, 0.25e-6 / low});
            }
            const double y = std::pow(high / low, 2 * pairs) * glass;  // admittance of the whole
            CHECK(respond(stack, 1e-6).reflectivity == sample::Approx(std::pow((1 - y) / (1 + y), 2)).epsilon(1e-10));
        }
    }

    TEST_CASE("a film over a through-hole is the free slab") {
        for (const ComplexIndex n : {ComplexIndex(2.0), ComplexIndex(2.2, 1e-3)}) {
            const SeenFilm s = see_layers({{n, 86e-9}}, 1064e-9);
            const GapPoint p = at_gap(film(86e-9, 1.0, 1064e-9, n), 3e-6);
            CHECK(p.reflectivity == sample::Approx(s.reflectivity).epsilon(1e-12));
            CHECK(p.slope_per_m == 0.0);
            CHECK(p.absorption == sample::Approx(s.absorption).epsilon(1e-9).scale(1e-6));
        }
    }

    TEST_CASE("a 50 nm film over silicon is blind at 3 um and 1064 nm, and sees at 2 um or in other light") {
        // Computed apart from this program for n = 2.0 and silicon 3.55, 3.87, 3.48 at 1064, 633, 1550 nm: 0.001 per um
        // at 3.0 um, 1.1 at 2.0 um; 1.3 at 633 nm and 1.2 at 1550 nm over 3.0 um (two digits printed)
        const double per_um = 1e-6;
        CHECK(std::abs(at_gap(film(50e-9, 3.55, 1064e-9), 3e-6).slope_per_m) * per_um < 0.02);
        CHECK(std::abs(at_gap(film(50e-9, 3.55, 1064e-9), 2e-6).slope_per_m) * per_um ==
              sample::Approx(1.1).epsilon(0.05));
        CHECK(std::abs(at_gap(film(50e-9, 3.87, 633e-9), 3e-6).slope_per_m) * per_um ==
              sample::Approx(1.3).epsilon(0.05));
        CHECK(std::abs(at_gap(film(50e-9, 3.48, 1550e-9), 3e-6).slope_per_m) * per_um ==
              sample::Approx(1.2).epsilon(0.05));
    }
}

TEST_SUITE("invariant") {
    TEST_CASE("no power is lost in clear films, and the absorbed share is never negative") {
        for (double gap = 0.0; gap < 1.2e-6; gap += 0.07e-6) {
            CHECK(std::abs(at_gap(film(100e-9, 3.5, 1064e-9), gap).absorption) < 1e-14);
            CHECK(at_gap(film(100e-9, ComplexIndex(3.87, 0.016), 633e-9, ComplexIndex(2.0, 1e-4)), gap).absorption >
                  0.0);
        }
    }

    TEST_CASE("the film under a standing wave absorbs up to four times what it absorbs in one running wave") {
        // thin film before a perfect mirror: the field is (2 sin kz)^2 times that of the running wave
        const ComplexIndex lossy(2.0, 1e-6), mirror(1e-9, 1e6);
        const double running = 2.0 * 2.0 * 1e-6 * 2.0 * 3.14159265358979 / 1064e-9 * 1e-9;  // 2 n k (2 pi/lambda) h
        const double node = at_gap(film(1e-9, mirror, 1064e-9, lossy), 532e-9).absorption;
        const double antinode = at_gap(film(1e-9, mirror, 1064e-9, lossy), 266e-9 - 0.5e-9).absorption;
        CHECK(antinode / running == sample::Approx(4.0).epsilon(0.01));
        CHECK(node / running < 1e-3);
    }

    TEST_CASE("slope is the derivative of the reflectivity, and repeats every half wavelength") {
        const FilmOverGap f = film(86e-9, ComplexIndex(3.87, 0.016), 633e-9, ComplexIndex(2.02, 1e-4));
        for (double gap = 1e-6; gap < 1.4e-6; gap += 0.05e-6) {
            const double step = 1e-11;
            const double difference =
                (at_gap(f, gap + step).reflectivity - at_gap(f, gap - step).reflectivity) / (2.0 * step);
            CHECK(at_gap(f, gap).slope_per_m == sample::Approx(difference).epsilon(1e-5).scale(1e6));
            CHECK(at_gap(f, gap + 0.5 * 633e-9).slope_per_m == sample::Approx(at_gap(f, gap).slope_per_m));
        }
    }

    TEST_CASE("reflectivity in closed form and by matrices agree for stacks of several layers") {
        const std::vector<OpticalLayer> layers{{2.0, 80e-9}, {ComplexIndex(1.4, 7.0), 5e-9}};
        const FilmOverGap f{see_layers(layers, 1064e-9), 3.5, 1064e-9};
        const StackResponse whole = respond({1.0, {layers[0], layers[1], {1.0, 2.2e-6}}, 3.5}, 1064e-9);
        CHECK(at_gap(f, 2.2e-6).reflectivity == sample::Approx(whole.reflectivity).epsilon(1e-12));
    }
}

TEST_SUITE("unit") {
    TEST_CASE("a period of the gap holds two blind gaps and two best ones, and tolerance ends at half the slope") {
        const FilmOverGap f = film(50e-9, 3.55, 1064e-9);
        const auto slope = [&](double g) { return at_gap(f, g).slope_per_m; };
        const Landmarks marks = find_landmarks(slope, 2.0e-6, 2.0e-6 + 532e-9, 100);
        CHECK(marks.blind.size() == 2);
        CHECK(marks.best.size() == 2);
        for (const Landmark& b : marks.blind) CHECK(std::abs(b.slope_per_m) < 1.0);
        for (const Landmark& b : marks.best)
            for (const double step : {-2e-9, 2e-9}) CHECK(std::abs(slope(b.at + step)) < std::abs(b.slope_per_m));
        const double best = marks.best.front().at;
        const Tolerance t = half_slope(slope, best, 266e-9);
        CHECK(std::abs(slope(t.low) / slope(best)) == sample::Approx(0.5).epsilon(1e-6));
        CHECK(std::abs(slope(t.high) / slope(best)) == sample::Approx(0.5).epsilon(1e-6));
        CHECK(t.low < best);
        CHECK(t.high > best);
        // Just beside a blind gap the walk stepped over it, and the range held blind gaps.
        const double blind = marks.blind.front().at;
        const Tolerance beside = half_slope(slope, blind + 0.2e-9, 532e-9);
        CHECK(beside.low > blind);
    }
}
