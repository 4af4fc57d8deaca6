#include "tymbal/readout/readout.h"
#include "support/approx.h"
#include "tymbal/base/constants.h"
#include "tymbal/readout/refractive_index.h"

#include <doctest/doctest.h>

#include <cmath>

using namespace tymbal;

namespace {

constexpr double pi = constants::pi;

ShapeRaster sine_raster(double side, int cells) {
    ShapeRaster r{cells + 1, cells + 1, -0.5 * side, -0.5 * side, side / cells, side / cells, {}};
    for (int j = 0; j <= cells; ++j)
        for (int i = 0; i <= cells; ++i) r.w.push_back(std::sin(pi * i / cells) * std::sin(pi * j / cells));
    return r;
}

/// 1 mm, 50 nm, 3100 kg/m^3, 401.6 kHz.
Mode reference_mode() {
    Mode mode;
    mode.frequency_hz = 401.610e3;
    mode.integrals.mass = 38.75e-12;
    mode.shape = sine_raster(1e-3, 64);
    return mode;
}

LossBudget with_quality(double q) {
    LossBudget budget;
    budget.total = {q, q, q};
    return budget;
}

}  // namespace

TEST_SUITE("reference") {
    TEST_CASE("nitride's index follows Luke's dispersion") {
        // Luke et al., Opt. Lett. 40, 4823 (2015), doi 10.1364/OL.40.004823: .633 um 2.03944, 1.064 um 2.01121, 1.55
        // um 1.99628 [computed]
        const Dispersion d{{{3.0249, 0.1353406}, {40314.0, 1239.842}}, 0.0, 0.03, 0.31, 5.504, {"Luke", Origin::table}};
        CHECK(index_at(d, 633e-9).n == sample::Approx(2.03944).epsilon(1e-5));
        CHECK(index_at(d, 1064e-9).n == sample::Approx(2.01121).epsilon(1e-5));
        CHECK(index_at(d, 1550e-9).n == sample::Approx(1.99628).epsilon(1e-5));
        CHECK(index_at(d, 1550e-9).inside);
        CHECK_FALSE(index_at(d, 10e-6).inside);
    }

    TEST_CASE("zero-point motion, occupancy, force noise and coupling of a millimetre drum") {
        // x_zpf 0.734 fm, n_th(300 K) 1.556e7, 1.273e-15 N/rtHz at Q = 1e6; Lc = 10 cm, |r| = .42 at 1064 nm: G/2pi
        // = 2.37 MHz/nm, g0/2pi = 1.74 Hz for full overlap [computed from the definitions]
        const Mode mode = reference_mode();
        const ModeFigures g = see(mode, with_quality(1e6), 300.0, {}, {});
        CHECK(g.zero_point_m == sample::Approx(0.734e-15).epsilon(1e-3));
        CHECK(g.thermal_occupancy == sample::Approx(1.556e7).epsilon(1e-3));
        CHECK(g.thermal_force_noise_n_per_rthz == sample::Approx(1.273e-15).epsilon(1e-3));
        CHECK(g.linewidth_hz == sample::Approx(0.40161));
        CHECK(g.qf_over_thermal == sample::Approx(1e6 * 401610.0 / 6.251e12).epsilon(1e-3));  // kB T/h at 300 K
        const Readout spot{Length::from_si(1064e-9), Length::from_si(1e-6), {}, {}, ""};
        const CavityCoupling cavity{2.37e15, 100e3, 1e-6};
        const ModeFigures c = see(mode, with_quality(1e6), 300.0, spot, cavity);
        CHECK(*c.single_photon_coupling_hz == sample::Approx(1.74).epsilon(3e-3));
        // C0 = 4 g0^2/(kappa Gamma), Gamma/2pi = .40161 Hz
        CHECK(*c.single_photon_cooperativity == sample::Approx(4.0 * 1.74 * 1.74 / (100e3 * 0.40161)).epsilon(6e-3));
    }
}

TEST_SUITE("unit") {
    TEST_CASE("holes bring the index from the film's down to one") {
        CHECK(perforated_index(2.0, 0.0).real() == sample::Approx(2.0));
        CHECK(perforated_index(2.0, 1.0).real() == sample::Approx(1.0));
        CHECK(perforated_index(2.0, 0.2).real() < 2.0);
    }

    TEST_CASE("the spot's mean of a sine mode is the Fourier transform of the spot") {
        // centred spot: mean of cos(pi x/L) cos(pi y/L) = exp(-(pi w/2L)^2) for a 1/e^2 radius w far below L [derived]
        const ShapeRaster r = sine_raster(1e-3, 128);
        for (const double radius : {2e-6, 60e-6, 120e-6}) {
            const double expected = std::exp(-std::pow(pi * radius / (2.0 * 1e-3), 2) * 1.0);
            CHECK(spot_mean(r, {0, 0}, radius) == sample::Approx(expected).epsilon(2e-3));
        }
        CHECK(std::abs(spot_mean(r, {5e-3, 0}, 10e-6)) < 1e-12);
    }

    TEST_CASE("a mode on whose node the spot sits has no mass there") {
        Mode mode = reference_mode();
        for (std::size_t k = 0; k < mode.shape.w.size(); ++k) {
            const auto i = static_cast<int>(k) % mode.shape.columns;
            mode.shape.w[k] *= std::cos(pi * i / (mode.shape.columns - 1));
        }
        const Readout spot{Length::from_si(1064e-9), Length::from_si(20e-6), {}, {}, ""};
        const ModeFigures g = see(mode, with_quality(1e6), 300.0, spot, {});
        CHECK(std::abs(*g.spot_overlap) < 1e-9);
        CHECK_FALSE(g.effective_mass_at_spot_kg.has_value());
    }
}
