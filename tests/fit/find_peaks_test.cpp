// Lines of made spectra against what was put in, and against SciPy's fit of the same numbers.
#include "tymbal/fit/find_peaks.h"
#include "support/approx.h"
#include "support/synthetic.h"
#include "tymbal/base/error.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <vector>

using namespace tymbal;
using tymbal::sample::Approx;

namespace {

struct Made {
    double hz, width, height;
};

using Background = double (*)(double);  ///< of the place in the window, 0 to 1

double flat(double /*place*/) {
    return 1.0;
}

/// Background of one unless given, lines on it, gamma noise of `averages` (0: none).
Spectrum spectrum(const std::vector<Made>& lines, double low, double high, std::size_t points, int averages,
                  std::uint64_t seed = 1, Background background = flat) {
    synthetic::Dice dice(seed);
    Spectrum s;
    for (std::size_t i = 0; i < points; ++i) {
        const double f = low + (high - low) * static_cast<double>(i) / static_cast<double>(points - 1);
        double mean = background((f - low) / (high - low));
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

/// One line some points wide, its Q in `quality`, in the middle of 20 kHz around 1 MHz, noise of four averages.
Spectrum zoomed(double width_points, double height, std::size_t points, std::uint64_t seed, double& quality,
                Background background = flat) {
    const double width = width_points * 2e4 / static_cast<double>(points - 1);
    const double hz = 1e6 + 37.0 * static_cast<double>(seed);
    quality = hz / width;
    return spectrum({{hz, width, height}}, 0.99e6, 1.01e6, points, 4, 1000 * seed + 7, background);
}

/// How often a line is found once and only once, and how far its Q lies from the truth.
struct Tally {
    int made = 0, once = 0, known = 0, within_one = 0, within_two = 0;
    double bias = 0.0;  ///< mean of (Q - truth) in stated deviations
    double worst = 0.0;
};

void add(Tally& t, const Spectrum& s, double quality) {
    ++t.made;
    const auto peaks = find_peaks(s).peaks;
    if (peaks.size() != 1) return;
    ++t.once;
    if (!peaks[0].quality_deviation) return;  // narrower than it resolves
    // Of ln Q: that of a line a few points wide is far from Gaussian, its logarithm is not.
    const double off = std::log(*peaks[0].quality / quality) / (*peaks[0].quality_deviation / *peaks[0].quality);
    ++t.known;
    t.within_one += std::abs(off) < 1.0;
    t.within_two += std::abs(off) < 2.0;
    t.bias += off;
    t.worst = std::max(t.worst, std::abs(off));
}

Tally tally(std::size_t points, const std::vector<double>& widths, std::uint64_t seeds) {
    Tally t;
    std::uint64_t seed = 0;
    for (const double width : widths)
        for (const double height : {10.0, 100.0, 1e3, 1e4})
            for (std::uint64_t k = 0; k < seeds; ++k) {
                double quality = 0.0;
                const Spectrum s = zoomed(width, height, points, ++seed, quality);
                add(t, s, quality);
            }
    t.bias /= t.known;
    return t;
}

/// Bounds of three binomial deviations about 68 % and 95 %, and of three deviations of a mean about nought.
void check_kept(const Tally& t) {
    const double n = t.known;
    CAPTURE(t.once);
    CAPTURE(t.worst);
    CHECK(t.once == t.made);
    CHECK(std::abs(t.bias) < 3.0 / std::sqrt(n));
    CHECK(t.within_one / n > 0.683 - 3.0 * std::sqrt(0.683 * 0.317 / n));
    CHECK(t.within_one / n < 0.683 + 3.0 * std::sqrt(0.683 * 0.317 / n));
    CHECK(t.within_two / n > 0.954 - 3.0 * std::sqrt(0.954 * 0.046 / n));
    CHECK(t.worst < 4.5);
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

    TEST_CASE("a pair of lines two to ten widths apart was taken for one wide line, or for background") {
        for (const double apart : {2.0, 4.0, 6.0, 10.0})
            for (const double points : {4.0, 20.0, 60.0})
                for (const double height : {20.0, 1e3}) {
                    if (apart == 2.0 && points * height < 1e4) continue;  // too little to tell
                    const double width = 5.0 * points, low = 1e6 - 0.5 * apart * width, high = low + apart * width;
                    for (const std::uint64_t seed : {77U, 154U}) {
                        CAPTURE(apart);
                        CAPTURE(points);
                        CAPTURE(height);
                        CAPTURE(seed);
                        const auto peaks = find_peaks(spectrum({{low, width, height}, {high, width, 0.6 * height}},
                                                               0.99e6, 1.01e6, 4001, 4, seed))
                                               .peaks;
                        REQUIRE(peaks.size() == 2);
                        CHECK(std::abs(peaks[0].frequency_hz - low) < 4.0 * peaks[0].deviation_hz);
                        CHECK(std::abs(peaks[1].frequency_hz - high) < 4.0 * peaks[1].deviation_hz);
                        for (const Peak& peak : peaks) {
                            REQUIRE(peak.quality_deviation);
                            const double truth = std::log(*peak.quality * width / peak.frequency_hz);
                            CHECK(std::abs(truth) < 4.0 * *peak.quality_deviation / *peak.quality);
                        }
                    }
                }
    }

    TEST_CASE("a line that drifts by up to two of its widths while it is recorded stays one line") {
        for (const double drift : {0.3, 1.0, 2.0})
            for (const double points : {4.0, 20.0}) {
                const double width = 5.0 * points;
                std::vector<Made> places;
                for (int k = -10; k <= 10; ++k) places.push_back({1e6 + 0.05 * k * drift * width, width, 1e3 / 21.0});
                for (const std::uint64_t seed : {77U, 154U, 231U}) {
                    CAPTURE(drift);
                    CAPTURE(points);
                    CAPTURE(seed);
                    CHECK(find_peaks(spectrum(places, 0.99e6, 1.01e6, 4001, 4, seed)).peaks.size() == 1);
                }
            }
    }

    TEST_CASE("a line a thousand times over the noise was lost with the shoulder that had stood in for it") {
        const auto peaks =
            find_peaks(spectrum({{999980.0, 20.0, 1e3}, {1000020.0, 20.0, 100.0}}, 0.99e6, 1.01e6, 4001, 4, 385)).peaks;
        REQUIRE_FALSE(peaks.empty());
        CHECK(std::abs(peaks.front().frequency_hz - 999980.0) < 20.0);
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

    TEST_CASE("a line wide against the window has its Q: 12 points of 2000, 1000 times the noise") {
        const double width = 12.0 * 2e4 / 1999.0;  // a background over 80 points follows its flanks: Q twice too high
        const auto peaks = find_peaks(spectrum({{1e6, width, 1e3}}, 0.99e6, 1.01e6, 2000, 30)).peaks;
        REQUIRE(peaks.size() == 1);
        CHECK(std::abs(*peaks[0].quality - 1e6 / width) < 3.0 * *peaks[0].quality_deviation);
        CHECK(*peaks[0].quality == Approx(1e6 / width).epsilon(0.1));  // three deviations of 30 averages
    }

    TEST_CASE("a line of any width and height in 500 points is found once, with its Q within its deviation") {
        check_kept(tally(500, {4, 8, 12, 16, 20, 33}, 4));
    }

    TEST_CASE("a line of any width and height in 2000 points is found once, with its Q within its deviation") {
        check_kept(tally(2000, {4, 12, 40, 133}, 3));
    }

    TEST_CASE("a line of any width and height in 20 000 points is found once, with its Q within its deviation") {
        check_kept(tally(20000, {12, 1333}, 1));
    }

    TEST_CASE("60 000 points, whose backgrounds are tried on means of six: narrow and wide lines keep their Q") {
        check_kept(tally(60000, {4, 900}, 1));
    }

    TEST_CASE("lines of two points are found, resolved or not") {
        const Tally t = tally(2000, {2.0}, 8);
        CHECK(t.once == t.made);
    }

    TEST_CASE("a slope, a fall as 1/f or a wavy background gives no wrong Q") {
        const std::vector<Background> shapes{[](double u) { return 0.5 + u; }, [](double u) { return 1.0 / (0.3 + u); },
                                             [](double u) { return 1.0 + 0.5 * std::sin(20.0 * u); }};
        int known = 0;
        for (std::uint64_t seed = 1; seed <= 12; ++seed) {
            double quality = 0.0;
            const Spectrum s =
                zoomed(seed % 2 == 0 ? 12.0 : 40.0, 1e3, 2000, seed, quality, shapes[seed % shapes.size()]);
            CAPTURE(seed);
            const auto peaks = find_peaks(s).peaks;
            REQUIRE(peaks.size() == 1);
            if (!peaks[0].quality_deviation) continue;
            ++known;
            CHECK(std::abs(*peaks[0].quality - quality) < 3.0 * *peaks[0].quality_deviation);
        }
        CHECK(known >= 10);
    }

    TEST_CASE("a spectrum of little but spikes ends, with sound numbers or without lines") {
        int lines = 0;
        for (const std::uint64_t seed : {1U, 2U, 3U}) {
            CAPTURE(seed);
            Spectrum s = spectrum({{1e6, 60.0, 40.0}}, 0.99e6, 1.01e6, 500, 0);
            synthetic::Dice dice(seed);
            for (double& power : s.power)
                if (dice.uniform(0.0, 1.0) < 0.05) power *= 1e12;
            try {
                for (const Peak& peak : find_peaks(s).peaks) {
                    ++lines;
                    CHECK(peak.frequency_hz > 0.98e6);
                    CHECK(peak.frequency_hz < 1.02e6);
                    CHECK(std::isfinite(peak.deviation_hz));
                    if (peak.quality) CHECK(*peak.quality > 0.0);
                }
            } catch (const NoAnswer&) {
            }
        }
        CHECK(lines > 0);
    }

    TEST_CASE("a line too wide for its window gets the cure, not a Q") {
        for (const double widths : {2.0, 3.0, 4.0}) {
            CAPTURE(widths);
            double quality = 0.0;
            CHECK_THROWS_WITH_AS((void)find_peaks(zoomed(2000.0 / widths, 1e3, 2000, 1, quality)),
                                 doctest::Contains("Record a span of at least"), NoAnswer);
        }
    }
}
