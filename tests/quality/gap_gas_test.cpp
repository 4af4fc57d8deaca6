// Gas under a film against a test-particle simulation and Blech's series.
#include "support/approx.h"
#include "tymbal/quality/gap_spring.h"
#include "tymbal/quality/gas.h"

#include "support/designs.h"

#include <doctest/doctest.h>

#include <cmath>
#include <complex>
#include <random>

using namespace tymbal;

namespace {

constexpr double pi = 3.14159265358979323846;

/// Free molecules between a square film and its floor, open at the rim; lengths in units of the side, speeds in units
/// of sqrt(R T/M). The generalised force on the held film fluctuates; its spectrum at omega is 4 kB T times the damping
/// (fluctuation and dissipation, Callen and Welton, Phys. Rev. 83, 34 (1951), from memory). Molecules are independent,
/// so the spectrum is the rate of arrivals times the mean of |sum of impulses exp(i omega t)|^2.
struct Gap {
    double height = 0.0;
    double omega = 0.0;  ///< side over sqrt(R T/M) is the unit of time
    bool diffuse = false;
    bool rigid = false;  ///< the film moves as a plate, else as a half sine both ways
};

class Molecules {
public:
    explicit Molecules(std::uint64_t seed) : engine_(seed) {}

    /// |sum of impulses|^2 of one molecule that enters over the rim.
    double visit(const Gap& gap) {
        enter(gap);
        std::complex<double> sum = 0.0;
        double time = 0.0;
        while (true) {
            const double to_wall = (vz_ > 0.0 ? gap.height - z_ : z_) / std::abs(vz_);
            if (to_rim() <= to_wall) return std::norm(sum);
            time += to_wall;
            x_ += vx_ * to_wall;
            y_ += vy_ * to_wall;
            z_ = vz_ > 0.0 ? gap.height : 0.0;
            const double before = vz_;
            reflect(gap.diffuse);
            if (before > 0.0)
                sum += (before - vz_) * (gap.rigid ? 1.0 : std::sin(pi * x_) * std::sin(pi * y_)) *
                       std::polar(1.0, gap.omega * time);
        }
    }

private:
    double uniform() { return (static_cast<double>(engine_() >> 11) + 0.5) * 0x1.0p-53; }
    double normal() { return std::sqrt(-2.0 * std::log(uniform())) * std::cos(2.0 * pi * uniform()); }
    double towards() { return std::sqrt(-2.0 * std::log(uniform())); }  // flux-weighted normal speed

    void enter(const Gap& gap) {
        const auto side = static_cast<int>(4.0 * uniform());
        const double along = uniform(), inwards = towards(), sideways = normal();
        z_ = gap.height * uniform();
        vz_ = normal();
        if (side < 2) {
            x_ = side == 0 ? 0.0 : 1.0;
            y_ = along;
            vx_ = side == 0 ? inwards : -inwards;
            vy_ = sideways;
        } else {
            y_ = side == 2 ? 0.0 : 1.0;
            x_ = along;
            vy_ = side == 2 ? inwards : -inwards;
            vx_ = sideways;
        }
    }
    void reflect(bool diffuse) {
        const double away = vz_ > 0.0 ? -1.0 : 1.0;
        if (!diffuse) {
            vz_ = -vz_;
            return;
        }
        vx_ = normal();
        vy_ = normal();
        vz_ = away * towards();
    }
    double to_rim() const {
        const double tx = (vx_ > 0.0 ? 1.0 - x_ : x_) / std::abs(vx_), ty = (vy_ > 0.0 ? 1.0 - y_ : y_) / std::abs(vy_);
        return std::min(tx, ty);
    }

    std::mt19937_64 engine_;
    double x_ = 0.0, y_ = 0.0, z_ = 0.0, vx_ = 0.0, vy_ = 0.0, vz_ = 0.0;
};

/// Damping of the gap over that of free gas on both faces (mirror-like).
double relative_damping(const Gap& gap, int count) {
    Molecules molecules(7);
    double sum = 0.0;
    for (int k = 0; k < count; ++k) sum += molecules.visit(gap);
    // Arrivals per time: n height * 4 sides * sqrt(1/2 pi); free faces: n sqrt(1/2 pi) * <(2 v)^2> = 8 times the area
    // integral of the shape squared, twice.
    return 4.0 * gap.height * sum / count / (2.0 * 8.0 * (gap.rigid ? 1.0 : 0.25));
}

constexpr double height = 2.0 / 243.0;

/// (1,1) of the 243 um square, in units of thermal speed over side.
double omega_at(double stress) {
    return std::sqrt(2.0) * pi * std::sqrt(stress / 3100.0) / std::sqrt(8.314462618 * 295.0 / 0.0280134);
}

Device design(const std::string& pressure, const std::string& gap = "2 um") {
    return sample::design(sample::film("100 nm") + sample::square("243 um") + "[release]\ngap = \"" + gap +
                          "\"\n[surroundings]\ngas = \"nitrogen\"\npressure = \"" + pressure + "\"\n");
}

std::optional<GapGas> under(const Device& d, double frequency, double wave_number) {
    Mode mode;
    mode.frequency_hz = frequency;
    const Solid& silicon = sample::table().solids.at("silicon");
    const LossInputs inputs{d.film,          silicon,        Length::from_si(525e-6),
                            d.surroundings,  d.release->gap, 0.0,
                            243e-6 * 243e-6, 4.0 * 243e-6,   0.0};
    return gap_gas(mode, inputs, wave_number);
}

}  // namespace

TEST_SUITE("reference") {
    TEST_CASE("a test-particle simulation agrees with a separate one for a rigid plate") {
        // 243 um square over 2 um, nitrogen, at the frequency of (1,1) at 1 GPa and 100 MPa: 2.5 (specular) and 0.8
        // (diffuse) times free gas on both faces at 1 GPa, 22 and 2.8 at 100 MPa; quasi-static 68 and 125 [another
        // simulation, computed apart from this program]
        for (const auto& [stress, specular, diffuse] : {std::tuple{1e9, 2.5, 0.8}, std::tuple{1e8, 22.0, 2.8}}) {
            CHECK(relative_damping({height, omega_at(stress), false, true}, 20000) ==
                  sample::Approx(specular).epsilon(0.08));
            CHECK(relative_damping({height, omega_at(stress), true, true}, 20000) ==
                  sample::Approx(diffuse).epsilon(0.08));
        }
        CHECK(relative_damping({height, 1e-3, false, true}, 20000) == sample::Approx(68.0).epsilon(0.15));
        CHECK(relative_damping({height, 1e-3, true, true}, 10000) == sample::Approx(125.0).epsilon(0.15));
    }

    TEST_CASE("the band for gap gas holds what the simulation finds for the mode's own shape") {
        // a million molecules: 3.49 (specular), 0.57 (diffuse) at 1 GPa; 24.5 and 1.75 at 100 MPa
        for (const double stress : {1e9, 1e8}) {
            CAPTURE(stress);
            const Device d = sample::design(
                sample::film("100 nm", std::to_string(1e-6 * stress) + " MPa") + sample::square("243 um") +
                "[release]\ngap = \"2 um\"\n[surroundings]\ngas = \"nitrogen\"\npressure = \"1e-6 mbar\"\n[solve]\n"
                "modes = 1\n");
            const Prediction p = predict(d, sample::table());
            double gap_low = 0.0, gap_high = 0.0, one_face = 0.0;
            for (const LossTerm& term : p.modes.front().losses.terms) {
                if (term.name == "gas") one_face = term.quality->low;
                if (term.name != "squeeze_film") continue;
                gap_low = term.quality->low;
                gap_high = term.quality->high;
            }
            const double both_faces = 0.5 * one_face;
            for (const bool diffuse : {false, true}) {
                const double damping = relative_damping({height, omega_at(stress), diffuse, false}, 20000);
                CHECK(gap_low < both_faces / damping);
                CHECK(gap_high > both_faces / damping);
            }
        }
    }
}

TEST_SUITE("invariant") {
    TEST_CASE("dense gas under a slow film damps as Reynolds' equation says: c/A = 12 mu/(k^2 g^3)") {
        // incompressible limit of the linear Reynolds equation for a sine shape (re-derived); 1 bar, 2 um: Kn 0.03
        const Device d = design("1 bar");
        const double k = std::sqrt(2.0) * pi / 243e-6, f = 1e3;
        const auto gas = under(d, f, k);
        REQUIRE(gas->quality);
        const double viscosity = 17.9e-6 / (1.0 + 9.638 * std::pow(gas->knudsen_gap, 1.159));
        const double drag = 12.0 * viscosity / (k * k * 8e-18);
        CHECK(*gas->quality == sample::Approx(2.0 * pi * f * 3100.0 * 100e-9 / drag).epsilon(0.01));
        CHECK(gas->regime == "slip-flow");
    }

    TEST_CASE("the shift grows with pressure in proportion and does not hang on the regime") {
        const double k = std::sqrt(2.0) * pi / 243e-6;
        const auto low = under(design("1e-4 mbar"), 2e6, k), high = under(design("1e-2 mbar"), 2e6, k);
        CHECK(high->shift_hz / low->shift_hz == sample::Approx(100.0).epsilon(1e-3));
        CHECK(low->regime == "free-molecular");
        CHECK_FALSE(low->quality);
        CHECK_FALSE(under(design("0 Pa"), 2e6, k));
    }
}
