#include "tymbal/fit/find_peaks.h"

#include "background.h"
#include "line_search.h"

#include "tymbal/base/error.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <limits>
#include <numeric>
#include <optional>
#include <utility>

namespace tymbal {

namespace {

constexpr std::size_t least_points = 32;
constexpr std::size_t most_lines = 400;
constexpr double least_window = 5.0;       // widths of a line that a spectrum must span to tell it from its background
constexpr std::size_t more_lines = 8;      // than on the finest background: with more, one follows what drifts
constexpr std::size_t few_points = 10000;  // on which backgrounds of larger spectra are tried
constexpr double least_difference = 0.1;   // of two backgrounds: below that a width shifts by less than its deviation

/// Two backgrounds within a few per cent everywhere.
bool agree(const std::vector<double>& a, const std::vector<double>& b) {
    for (std::size_t i = 0; i < a.size(); ++i)
        if (std::abs(a[i] - b[i]) > least_difference * std::min(a[i], b[i])) return false;
    return true;
}

/// Blocks of the backgrounds to try: the finest, four times as long each, then one straight line; only the finest where
/// each agrees with the next, for then no line has bent any.
std::vector<std::size_t> blocks_to_try(const std::vector<double>& power, std::vector<double> level) {
    const std::size_t n = power.size();
    std::vector<std::size_t> blocks{finest_block(n)};
    bool bent = false;
    for (std::size_t block = 4 * blocks.front(); 5 * block <= n; block *= 4) {
        std::vector<double> next = background(power, block);
        bent = bent || !agree(level, next);
        level = std::move(next);
        blocks.push_back(block);
    }
    if (!bent && blocks.size() > 1) return {blocks.front()};
    blocks.push_back(n);
    return blocks;
}

/// ln of the likelihood less half ln(points) for every parameter (Schwarz): what a finer background must beat.
double worth(const Search& s) {
    const auto n = static_cast<double>(s.model.size());
    double sum = 0.0;
    for (std::size_t i = 0; i < s.model.size(); ++i) sum += s.spectrum.power[i] / s.model[i] + std::log(s.model[i]);
    const double parameters =
        3.0 * static_cast<double>(s.lines.size()) + std::max(2.0, 0.2 * n / static_cast<double>(s.block));
    return -s.averages * sum - 0.5 * std::log(n) * parameters;
}

/// The finest background bends under a line wider than a sixteenth of its five blocks, whose width comes out too small.
/// The coarser ones are renewed under the lines.
double widest_known(const Search& s, const Oscillator& line) {
    if (!is_finest(s) || !s.bent) return std::numeric_limits<double>::infinity();
    return 5.0 / 16.0 * static_cast<double>(s.block) * spacing_near(s.spectrum, line.frequency_hz);
}

Peak peak_of(const Search& s, std::size_t k) {
    const Oscillator& line = s.lines[k];
    Peak peak;
    peak.frequency_hz = line.frequency_hz;
    peak.deviation_hz = s.deviations[k][0];
    peak.quality = line.frequency_hz / line.width_hz;
    peak.quality_deviation = *peak.quality * s.deviations[k][1] / line.width_hz;
    peak.height = line.height;
    if (!is_resolved(s, line)) {
        peak.resolution_limited = true;
        peak.quality = line.frequency_hz / std::max(line.width_hz, s.resolution);
        peak.quality_deviation.reset();
        peak.deviation_hz = std::max(peak.deviation_hz, s.resolution / std::sqrt(12.0));  // anywhere in the bin
    }
    if (line.width_hz > widest_known(s, line)) {
        peak.quality.reset();
        peak.quality_deviation.reset();
    }
    return peak;
}

void require_spectrum(const Spectrum& s) {
    if (s.power.size() < least_points)
        throw NoAnswer("the spectrum has fewer than 32 points; cannot tell lines from noise. Record more points");
    const auto [low, high] = std::minmax_element(s.power.begin(), s.power.end());
    if (*low == *high) throw NoAnswer("the spectrum has the same value everywhere; there is no line in it");
}

/// Means of neighbours, few enough to try every background on.
Spectrum thinned(const Spectrum& s, std::size_t points) {
    const std::size_t each = s.power.size() / points;
    Spectrum out = s;
    out.frequency_hz.assign(points, 0.0);
    out.power.assign(points, 0.0);
    for (std::size_t i = 0; i < points; ++i)
        for (std::size_t j = i * each; j < (i + 1) * each; ++j) {
            out.frequency_hz[i] += s.frequency_hz[j] / static_cast<double>(each);
            out.power[i] += s.power[j] / static_cast<double>(each);
        }
    return out;
}

/// The search whose background and lines together explain the spectrum best: a fine background follows what drifts, but
/// eats wide lines.
Search best_search(const Spectrum& spectrum, const std::vector<std::size_t>& blocks, double averages) {
    std::optional<Search> best;
    double most = 0.0;
    std::size_t finest_lines = 0;
    for (const std::size_t block : blocks) {
        Search next = search(spectrum, block, averages, best ? finest_lines + more_lines : most_lines);
        const double value = worth(next);
        if (!best) finest_lines = next.lines.size();
        if (best && value <= most) continue;
        most = value;
        best.emplace(std::move(next));
    }
    return std::move(*best);
}

/// Backgrounds to try on a spectrum, and how much its noise scatters.
struct Trial {
    std::vector<std::size_t> blocks;
    double averages = 1.0;
};

Trial trial_of(const Spectrum& spectrum) {
    std::vector<double> finest = background(spectrum.power, finest_block(spectrum.power.size()));
    const double top = *std::max_element(spectrum.power.begin(), spectrum.power.end());
    for (double& level : finest) level = std::max(level, 1e-15 * top);
    const double averages = averages_of(spectrum.power, finest);
    return {blocks_to_try(spectrum.power, std::move(finest)), averages};
}

/// The block among those to try that the thinned spectrum likes best.
std::size_t block_by_few(const Spectrum& spectrum, const std::vector<std::size_t>& blocks) {
    const std::size_t n = spectrum.power.size();
    const Spectrum few = thinned(spectrum, few_points);
    const Trial trial = trial_of(few);
    const Search best = best_search(few, trial.blocks, trial.averages);
    if (is_finest(best)) return blocks.front();
    return best.block == few_points ? n : best.block * (n / few_points);
}

Search search_best(const Spectrum& spectrum) {
    Trial trial = trial_of(spectrum);
    const bool bent = trial.blocks.size() > 1;
    if (bent && spectrum.power.size() >= 4 * few_points) trial.blocks = {block_by_few(spectrum, trial.blocks)};
    Search best = best_search(spectrum, trial.blocks, trial.averages);
    if (!is_finest(best)) {
        settle(best);
        best.averages = averages_of(spectrum.power, best.model);  // nothing is bent any more
        refit(best);
    }
    best.bent = bent;
    return best;
}

[[noreturn]] void throw_too_wide(const Oscillator& line, double span) {
    std::array<char, 240> text{};
    std::snprintf(text.data(), text.size(),
                  "the line at %.6g Hz is about %.3g Hz wide and the spectrum spans only %.3g Hz: its width cannot be "
                  "told from the background. Record a span of at least %.2g Hz, better %.2g Hz, around it",
                  line.frequency_hz, line.width_hz, span, least_window * line.width_hz,
                  6.0 * least_window * line.width_hz);
    throw NoAnswer(text.data());
}

}  // namespace

FoundPeaks find_peaks(const Spectrum& spectrum) {
    require_spectrum(spectrum);
    Search s = search_best(spectrum);
    if (s.lines.empty()) throw NoAnswer("no line of the spectrum stands above its noise");
    FoundPeaks out{{}, s.averages, s.resolution};
    const double span = spectrum.frequency_hz.back() - spectrum.frequency_hz.front();
    for (std::size_t k = 0; k < s.lines.size(); ++k)
        if (least_window * s.lines[k].width_hz < span) out.peaks.push_back(peak_of(s, k));
    if (out.peaks.empty()) throw_too_wide(s.lines.front(), span);
    std::sort(out.peaks.begin(), out.peaks.end(),
              [](const Peak& a, const Peak& b) { return a.frequency_hz < b.frequency_hz; });
    return out;
}

}  // namespace tymbal
