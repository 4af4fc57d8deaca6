// Lines of made spectra against what was put in, and against SciPy's fit of the same numbers.
#include "tymbal/fit/find_peaks.h"
#include "support/synthetic.h"
#include "tymbal/base/error.h"

#include <doctest/doctest.h>

#include <cmath>
#include <vector>

using namespace tymbal;
using doctest::Approx;

namespace {

struct Made {
    double hz, width, height;
};

/// Flat background of one, lines on it, gamma noise of `averages` (0: none).
Spectrum spectrum(const std::vector<Made>& lines, double low, double high, std::size_t points, int averages,
                  std::uint64_t seed = 1) {
    synthetic::Dice dice(seed);
    Spectrum s;
    for (std::size_t i = 0; i < points; ++i) {
        const double f = low + (high - low) * static_cast<double>(i) / static_cast<double>(points - 1);
        double mean = 1.0;
        for (const Made& line : lines) {
            const double d = line.hz * line.hz - f * f, below = line.hz * line.width;
            mean += line.height * below * below / (d * d + f * f * line.width * line.width);
        }
        double scatter = averages == 0 ? 1.0 : 0.0;
        for (int k = 0; k < averages; ++k) scatter -= std::log(1.0 - dice.uniform(0.0, 1.0)) / averages;
        s.frequency_hz.push_back(f);
        s.power.push_back(mean * scatter);
    }
    return s;
}

}  // namespace

TEST_SUITE("unit") {
    TEST_CASE("frequency and Q of a line come back within their uncertainties") {
        const FoundPeaks found = find_peaks(spectrum({{1.2e6, 60.0, 40.0}}, 1.19e6, 1.21e6, 4001, 8));
        REQUIRE(found.peaks.size() == 1);
        const Peak& peak = found.peaks.front();
        CHECK(std::abs(peak.frequency_hz - 1.2e6) < 3.0 * peak.deviation_hz);
        CHECK(std::abs(*peak.quality - 2e4) < 3.0 * *peak.quality_deviation);
        CHECK_FALSE(peak.resolution_limited);
        CHECK(found.averages == Approx(8.0).epsilon(0.15));
    }

    TEST_CASE("two lines closer than twice their width are told apart") {
        const auto found =
            find_peaks(spectrum({{1e6, 50.0, 60.0}, {1.00009e6, 50.0, 50.0}}, 0.995e6, 1.005e6, 4001, 30));
        REQUIRE(found.peaks.size() == 2);
        CHECK(std::abs(found.peaks[0].frequency_hz - 1e6) < 3.0 * found.peaks[0].deviation_hz);
        CHECK(std::abs(found.peaks[1].frequency_hz - 1.00009e6) < 3.0 * found.peaks[1].deviation_hz);
    }

    TEST_CASE("a line narrower than a point is a line, and its width is no Q") {
        const auto found = find_peaks(spectrum({{1.00000123e6, 0.2, 4000.0}}, 0.99e6, 1.01e6, 10001, 4));
        REQUIRE(found.peaks.size() == 1);
        CHECK(found.peaks[0].resolution_limited);
        CHECK(std::abs(found.peaks[0].frequency_hz - 1.00000123e6) < 3.0 * found.peaks[0].deviation_hz);
        CHECK(*found.peaks[0].quality < 1e6);  // a lower bound of 5e6
    }

    TEST_CASE("noise alone and constants give no line") {
        int lines = 0;
        for (std::uint64_t seed = 1; seed <= 20; ++seed) {
            try {
                lines += static_cast<int>(
                    find_peaks(spectrum({}, 1e5, 2e5, 5000, 1 + static_cast<int>(seed % 5), seed)).peaks.size());
            } catch (const NoAnswer&) {
            }
        }
        CHECK(lines <= 1);
        CHECK_THROWS_AS((void)find_peaks(spectrum({}, 1e5, 2e5, 5000, 0)), NoAnswer);
        CHECK_THROWS_WITH_AS((void)find_peaks(spectrum({}, 1e5, 2e5, 31, 1)), doctest::Contains("fewer than 32 points"),
                             NoAnswer);
    }
}
