#include "text/figures.h"
#include "page/report_parts.h"
#include "print/limits_table.h"
#include "print/loss_words.h"

#include "tymbal/base/constants.h"

#include <doctest/doctest.h>

#include <sstream>

using namespace tymbal;

TEST_SUITE("unit") {
    TEST_CASE("prefixes carry over when rounding fills them") {
        CHECK(with_prefix(3.0788e6, "Hz") == "3.079 MHz");
        CHECK(with_prefix(999.97e3, "Hz") == "1.000 MHz");
        CHECK(with_prefix(-1.5e-9, "m", 2) == "-1.5 nm");
        CHECK(with_prefix(0.0, "Pa") == "0 Pa");
    }

    TEST_CASE("the uncertainty decides the digits, two of its own") {
        CHECK(with_uncertainty(3.0788e6, 0.0712e6, 1e6) == "3.079 +- 0.071");
        CHECK(with_uncertainty(250e9, 20e9, 1e9) == "250 +- 20");
        CHECK(any_size(0.25, 0.03) == "0.250 +- 0.030");
        CHECK(any_size(1e-7, 2e-9) == "(1.000 +- 0.020)e-7");
        CHECK(any_size(295.0, 0.0) == "295");
    }

    TEST_CASE("without an uncertainty a value was printed as known to +- 0") {
        CHECK(with_uncertainty(100e-9 / 60.0, 0.0, 1e-9 / 60.0) == "100");
        CHECK(with_uncertainty(24.52071e-9, 0.0, 1e-9) == "24.52");
        CHECK(with_stated(3.0791e6, 0.0, 0.0, 1e6) == "3.0791 -");
        CHECK(with_stated(3.0791e6, 0.0, 1e3, 1e6) == "3.0791 -");
    }

    TEST_CASE("a deviation that rounds up to the next power of ten had a digit more than its neighbours") {
        CHECK(with_uncertainty(500e-6, 0.9996e-6, 1e-6) == "500.0 +- 1.0");
        CHECK(with_uncertainty(500e-6, 1.0e-6, 1e-6) == "500.0 +- 1.0");
        CHECK(with_uncertainty(500e-6, 0.994e-6, 1e-6) == "500.00 +- 0.99");
        CHECK(with_uncertainty(500e6, 9.97e6, 1e6) == "500 +- 10");
    }

    TEST_CASE("units that take no prefix had one: kkg/m^3, G1/m, mrad, and etch rates in nm/s") {
        CHECK(with_unit(3000.0, "kg/m^3") == "3000 kg/m^3");
        CHECK(with_unit(6e10, "1/m") == "6e10 1/m");
        CHECK(with_unit(2e-6, "1/K") == "2e-6 1/K");
        CHECK(with_unit(constants::pi / 6.0, "rad") == "30 deg");
        CHECK(with_unit(100e-9 / 60.0, "m/s") == "100 nm/min");
        CHECK(with_unit(295.0, "K") == "295 K");
        CHECK(with_unit(0.01, "K") == "10.00 mK");
        CHECK(with_unit(8e8, "Pa") == "800.0 MPa");
        CHECK(with_unit(33.7765705e-9, "m") == "33.78 nm");
        CHECK(with_unit(1800.0, "s") == "30 min");
        CHECK(with_unit(0.25, "1") == "0.25");
        CHECK(usual_unit("kg/m^3", 3000.0).name == "kg/m^3");
        CHECK(usual_unit("m", 2e-4).name == "um");
        CHECK(usual_unit("Hz", 0.0).name == "Hz");
    }

    TEST_CASE("the page's frequency ended in a dash where no input states a deviation") {
        Mode mode;
        mode.frequency_hz = 1453822.1;
        mode.discretisation_error_hz = 2.0;
        CHECK(frequency_text(mode) == "1.4538221 MHz");
        mode.frequency_std_hz = 1e3;
        CHECK(frequency_text(mode) == "1.4538 +- 0.0010 MHz");
    }

    TEST_CASE("prefixes are of one style: no kiloseconds, no micropascals, no 1e+02 %") {
        CHECK(with_prefix(1816.0, "s") == "30.27 min");
        CHECK(with_prefix(83.0, "s", 3) == "83.0 s");
        CHECK(duration(83.0) == "83.0 s");
        CHECK(duration(1800.0) == "30 min");
        CHECK(duration(3.0 * 86400.0) == "3 d");
        CHECK(duration_with(1332.0, 132.0) == "22.2 +- 2.2 min");
        CHECK(with_prefix(1e-4, "Pa", 2) == "1.0e-4 Pa");
        CHECK(with_prefix(-0.02, "Pa", 3) == "-2.00e-2 Pa");
        CHECK(plain(100.0, 2) == "100");
        CHECK(plain(0.0) == "0");
        CHECK(plain(12345.0, 2) == "12000");
        CHECK(plain(99999.0) == "1e5");
        CHECK(plain(4.15e11) == "4.15e11");
        CHECK(plain(-1.5e-6, 2) == "-1.5e-6");
        CHECK(plain(0.25) == "0.25");
        CHECK(plain(114.547, 9) == "114.547");
    }

    TEST_CASE("inputs are shown as people write them, not in bare SI units") {
        CHECK(quantity_text(9e-8, 2e-9, "m") == "90.0 +- 2.0 nm");
        CHECK(quantity_text(9e-8, 0.0, "m") == "90 nm");
        CHECK(quantity_text(1e9, 3e7, "Pa") == "1.000 +- 0.030 GPa");
        CHECK(quantity_text(1e-4, 0.0, "Pa") == "0.0001 Pa");
        CHECK(quantity_text(1e-9 / 60.0, 0.4e-9 / 60.0, "m/s") == "1.00 +- 0.40 nm/min");
        CHECK(quantity_text(2.3e-6, 1e-7, "1/K") == "(2.30 +- 0.10)e-6 1/K");
        CHECK(quantity_text(0.25, 0.03, "1") == "0.250 +- 0.030");
        CHECK(quantity_text(295.0, 0.0, "K") == "295 K");
        CHECK(quantity_text(762'760.4, 0.0, "Hz") == "762.76 kHz");
    }

    TEST_CASE("a text that fills its column does not touch the one before") {
        CHECK("2.2 Hz" + in_column(overlap_text(-1.5e-6), 7) == "2.2 Hz      0");
        CHECK("2.2 Hz" + in_column("-1.5e-06", 7) == "2.2 Hz -1.5e-06");
        CHECK(overlap_text(0.979) == "0.98");
        CHECK(overlap_text(-0.079) == "-0.079");
    }

    TEST_CASE("the trust of a loss term is that of the data, the least of all modes") {
        const QualityBand q{1e5, 1e4, 1e6};
        LossBudget thin, dense;
        thin.terms = {{"intrinsic", q, Trust::estimated, "", "", ""},
                      {"diluted", q, Trust::estimated, "", "", ""},
                      {"radiation", q, Trust::order_of_magnitude, "", "", ""},
                      {"gas", q, Trust::computed, "", "", ""},
                      {"thermoelastic", std::nullopt, Trust::estimated, "", "", ""}};
        dense = thin;
        dense.terms[3].trust = Trust::order_of_magnitude;
        CHECK(trust_text({thin}) == "gas computed; material estimated; radiation order of magnitude");
        CHECK(trust_text({thin, dense}) == "material estimated; radiation and gas order of magnitude");
    }

    TEST_CASE("a limit says whether it is met, what is reached and which way it points") {
        std::ostringstream out;
        write_limits(out, {{"limits.least_ligament", 1e-6, 3e-6, "m", true},
                           {"limits.largest_release_time", 1800.0, 1816.0, "s", false},
                           {"limits.frequency (high)", 1.1e6, 1e6, "Hz", true}});
        CHECK(out.str().find("met: 3.000 um (at least 1.000 um)") != std::string::npos);
        CHECK(out.str().find("BROKEN: 30.3 min (at most 30 min)") != std::string::npos);
        CHECK(out.str().find("met: 1.000 MHz (at most 1.100 MHz)") != std::string::npos);
    }

    TEST_CASE("wrapped text fills the page and no more") {
        CHECK(wrapped("aa bb cc dd", 75, 76) ==
              "aa bb\n" + std::string(76, ' ') + "cc\n" + std::string(76, ' ') + "dd");
        CHECK(wrapped("aa bb", 74, 0) == "aa bb");
        CHECK(wrapped("abcdefgh ij", 79, 1) == "abcdefgh\n ij");
    }
}
