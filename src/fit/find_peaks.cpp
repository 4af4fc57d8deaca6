#include "tymbal/fit/find_peaks.h"

#include "line_fit.h"

#include "tymbal/base/error.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

namespace tymbal {

namespace {

using Eigen::Index;
using Eigen::VectorXd;

constexpr std::size_t least_points = 32;
constexpr std::array<std::size_t, 6> means{1, 3, 9, 27, 81, 243};
constexpr double false_alarms = 1e-3;  // expected per spectrum of pure noise
constexpr double least_excess = 1.15;  // over the background: below that its own wander counts
constexpr std::size_t most_lines = 400;
constexpr int most_rounds = 12;
constexpr double least_certain = 3.0;  // height over its sigma
constexpr double unresolved = 1.5;     // widths in units of the resolution

double median(std::vector<double>& values) {
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

/// Medians of blocks, then medians of five neighbours, linear between block centres.
std::vector<double> background(const std::vector<double>& power) {
    const std::size_t n = power.size(), block = std::clamp<std::size_t>(n / 400, 16, 2000), blocks = n / block;
    std::vector<double> level(blocks), smooth(blocks), part;
    for (std::size_t b = 0; b < blocks; ++b) {
        const auto from = power.begin() + static_cast<std::ptrdiff_t>(b * block);
        part.assign(from, b + 1 == blocks ? power.end() : from + static_cast<std::ptrdiff_t>(block));
        level[b] = median(part);
    }
    for (std::size_t b = 0; b < blocks; ++b) {
        const std::size_t low = b < 2 ? 0 : b - 2, high = std::min(b + 3, blocks);
        part.assign(level.begin() + static_cast<std::ptrdiff_t>(low),
                    level.begin() + static_cast<std::ptrdiff_t>(high));
        smooth[b] = median(part);
    }
    std::vector<double> out(n);
    for (std::size_t i = 0; i < n; ++i) {
        const double at = std::clamp((static_cast<double>(i) + 0.5) / static_cast<double>(block) - 0.5, 0.0,
                                     static_cast<double>(blocks - 1));
        const auto b = std::min(static_cast<std::size_t>(at), blocks > 1 ? blocks - 2 : 0);
        const double share = at - static_cast<double>(b);
        out[i] = blocks > 1 ? (1.0 - share) * smooth[b] + share * smooth[b + 1] : smooth[0];
    }
    return out;
}

/// Averages k of the gamma noise, from the quartiles of the logarithm: their distance over 1.349 is 1/sqrt(k) for many
/// averages and 1.165 for one; 1/distance^2 + 0.26 joins the two within 3 % [computed].
double averages_of(const std::vector<double>& power, const std::vector<double>& floor) {
    std::vector<double> ratio;
    const std::size_t stride = std::max<std::size_t>(1, power.size() / 200000);
    for (std::size_t i = 0; i < power.size(); i += stride) ratio.push_back(power[i] / floor[i]);
    const auto quartile = [&](double share) {
        const auto at = ratio.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(ratio.size() - 1));
        std::nth_element(ratio.begin(), at, ratio.end());
        return std::max(*at, 1e-12);
    };
    const double distance = (std::log(quartile(0.75)) - std::log(quartile(0.25))) / 1.349;
    return std::clamp(1.0 / std::max(distance * distance, 1e-8) + 0.26, 0.5, 1e6);
}

/// z with a normal tail of `share` above it, by bisection.
double normal_quantile(double share) {
    double low = 0.0, high = 40.0;
    for (int step = 0; step < 60; ++step) {
        const double middle = 0.5 * (low + high);
        (0.5 * std::erfc(middle / std::sqrt(2.0)) > share ? low : high) = middle;
    }
    return high;
}

/// Value over the mean that a gamma variable of k averages exceeds with the given chance (Wilson and Hilferty,
/// Proc. Natl. Acad. Sci. 17, 684 (1931), from memory).
double gamma_threshold(double k, double chance) {
    const double a = 1.0 / (9.0 * k);
    return std::pow(1.0 - a + normal_quantile(chance) * std::sqrt(a), 3.0);
}

struct Bump {
    std::size_t at = 0;
    double excess = 0.0;
    std::size_t width = 1;  ///< points of the mean it was found with
    double limit = 0.0;     ///< what noise alone does not exceed
};

/// Everything one search keeps.
struct Search {
    const Spectrum& spectrum;
    std::vector<double> floor;  ///< background of noise, mean
    std::vector<double> model;  ///< background and all lines so far
    double averages = 1.0;
    double resolution = 0.0;
    std::vector<Oscillator> lines;
    std::vector<std::array<double, 3>> deviations;  ///< frequency, width, height
};

/// Highest point of each stretch that stands above the threshold in one of the means.
std::vector<Bump> bumps(const Search& s) {
    const std::size_t n = s.model.size();
    std::vector<double> sum(n + 1, 0.0);
    for (std::size_t i = 0; i < n; ++i) sum[i + 1] = sum[i] + s.spectrum.power[i] / s.model[i];
    std::vector<Bump> found;
    for (const std::size_t width : means) {
        if (4 * width > n) break;
        const double chance = false_alarms / static_cast<double>(n) / static_cast<double>(means.size());
        const double limit = std::max(gamma_threshold(s.averages * static_cast<double>(width), chance), least_excess);
        Bump top;
        for (std::size_t i = 0; i + width <= n; ++i) {
            const double mean = (sum[i + width] - sum[i]) / static_cast<double>(width);
            if (mean > limit && mean > top.excess) top = {i + width / 2, mean, width, limit};
            if ((mean <= limit || i + width == n) && top.excess > 0.0) {
                found.push_back(top);
                top = {};
            }
        }
    }
    std::stable_sort(found.begin(), found.end(), [](const Bump& a, const Bump& b) {
        return a.excess * std::sqrt(static_cast<double>(a.width)) > b.excess * std::sqrt(static_cast<double>(b.width));
    });
    std::vector<Bump> apart;
    for (const Bump& b : found)
        if (std::none_of(apart.begin(), apart.end(), [&](const Bump& a) {
                const std::size_t gap = a.at > b.at ? a.at - b.at : b.at - a.at;
                return gap <= 2 * std::max(a.width, b.width) + 8;
            }))
            apart.push_back(b);
    return apart;
}

/// Lines that were added since may explain a bump.
bool still_stands(const Search& s, const Bump& bump) {
    const std::size_t from = bump.at - std::min(bump.at, bump.width / 2);
    const std::size_t to = std::min(from + bump.width, s.model.size());
    double sum = 0.0;
    for (std::size_t i = from; i < to; ++i) sum += s.spectrum.power[i] / s.model[i];
    return sum > bump.limit * static_cast<double>(to - from);
}

double spacing_at(const Spectrum& s, std::size_t i) {
    const std::size_t last = s.frequency_hz.size() - 1;
    const std::size_t a = i == 0 ? 0 : i - 1, b = std::min(i + 1, last);
    return (s.frequency_hz[b] - s.frequency_hz[a]) / static_cast<double>(b - a);
}

/// Median distance of the points: narrow sweeps with gaps between them are one spectrum.
double usual_spacing(const Spectrum& s) {
    std::vector<double> gaps;
    for (std::size_t i = 1; i < s.frequency_hz.size(); ++i) gaps.push_back(s.frequency_hz[i] - s.frequency_hz[i - 1]);
    return median(gaps);
}

/// A first guess: the mean's width, or where the line falls to half its height.
Oscillator guess(const Search& s, const Bump& bump) {
    const auto& p = s.spectrum.power;
    const double top = std::max(p[bump.at] - s.model[bump.at], (bump.excess - 1.0) * s.model[bump.at]);
    std::size_t left = bump.at, right = bump.at;
    const auto high = [&](std::size_t i) { return p[i] - s.model[i] > 0.5 * top; };
    while (left > 0 && high(left - 1)) --left;
    while (right + 1 < p.size() && high(right + 1)) ++right;
    const double points = std::max<double>(static_cast<double>(right - left), static_cast<double>(bump.width));
    return {s.spectrum.frequency_hz[bump.at], std::max(points, 1.0) * spacing_at(s.spectrum, bump.at), top};
}

std::size_t index_of(const Spectrum& s, double hz) {
    const auto at = std::lower_bound(s.frequency_hz.begin(), s.frequency_hz.end(), hz);
    return static_cast<std::size_t>(
        std::min(at - s.frequency_hz.begin(), static_cast<std::ptrdiff_t>(s.frequency_hz.size()) - 1));
}

/// Fits a group of lines on the piece around them, the other lines held.
LineFit fit_group(const Search& s, const std::vector<std::size_t>& group, const std::vector<Oscillator>& lines) {
    std::vector<Oscillator> start;
    double low = 1e300, high = -1e300;
    for (const std::size_t k : group) {
        const Oscillator& line = lines[k];
        const double reach =
            10.0 * line.width_hz + 12.0 * spacing_at(s.spectrum, index_of(s.spectrum, line.frequency_hz));
        low = std::min(low, line.frequency_hz - reach);
        high = std::max(high, line.frequency_hz + reach);
        start.push_back(line);
    }
    const std::size_t a = index_of(s.spectrum, low), b = std::min(index_of(s.spectrum, high) + 1, s.model.size());
    const std::size_t stride = std::max<std::size_t>(1, (b - a) / 4000);  // a wide line needs no more points
    const auto points = static_cast<Index>((b - a + stride - 1) / stride);
    VectorXd hz(points), power(points), floor(points);
    for (Index i = 0; i < points; ++i) {
        const std::size_t from = a + static_cast<std::size_t>(i) * stride, to = std::min(from + stride, b);
        double f = 0.0, p = 0.0, m = 0.0;
        for (std::size_t j = from; j < to; ++j) {
            f += s.spectrum.frequency_hz[j];
            p += s.spectrum.power[j];
            m += s.model[j];
            for (const std::size_t k : group)
                if (k < s.lines.size()) m -= s.lines[k](s.spectrum.frequency_hz[j]);
        }
        const auto count = static_cast<double>(to - from);
        hz[i] = f / count;
        power[i] = p / count;
        floor[i] = std::max(m / count, 1e-12 * p / count + 1e-300);
    }
    return fit_lines(hz, power, floor, std::move(start), s.averages * static_cast<double>(stride));
}

void add_to_model(Search& s, const Oscillator& line, double sign) {
    for (std::size_t i = 0; i < s.model.size(); ++i) s.model[i] += sign * line(s.spectrum.frequency_hz[i]);
}

bool overlap(const Oscillator& a, const Oscillator& b) {
    return std::abs(a.frequency_hz - b.frequency_hz) < 4.0 * std::max(a.width_hz, b.width_hz);
}

bool sensible(const Search& s, const LineFit& fit) {
    if (!fit.sound) return false;
    const double span = s.spectrum.frequency_hz.back() - s.spectrum.frequency_hz.front();
    for (std::size_t k = 0; k < fit.lines.size(); ++k) {
        const Oscillator& line = fit.lines[k];
        const double place = std::max(line.width_hz, s.resolution);
        if (line.width_hz > 0.1 * span) return false;
        const bool resolved = line.width_hz > unresolved * s.resolution;  // else height and width are one
        if (resolved && line.height < least_certain * fit.height_deviation[k]) return false;
        if (fit.frequency_deviation[k] > 0.5 * place) return false;
    }
    return true;
}

/// Takes the fitted group over into the search.
void take(Search& s, const std::vector<std::size_t>& group, const LineFit& fit) {
    for (std::size_t j = 0; j < group.size(); ++j) {
        const std::size_t k = group[j];
        if (k == s.lines.size()) {
            s.lines.emplace_back();
            s.deviations.emplace_back();
        } else {
            add_to_model(s, s.lines[k], -1.0);
        }
        s.lines[k] = fit.lines[j];
        s.deviations[k] = {fit.frequency_deviation[j], fit.width_deviation[j], fit.height_deviation[j]};
        add_to_model(s, s.lines[k], 1.0);
    }
}

/// One more line, together with those it overlaps. A second line within another's width must raise the likelihood by
/// far more than its three parameters would by chance.
bool add_line(Search& s, const Bump& bump) {
    if (!still_stands(s, bump)) return false;
    std::vector<Oscillator> lines = s.lines;
    lines.push_back(guess(s, bump));
    std::vector<std::size_t> group, before;
    for (std::size_t k = 0; k < s.lines.size(); ++k)
        if (overlap(s.lines[k], lines.back())) before.push_back(k);
    group = before;
    group.push_back(s.lines.size());
    if (group.size() > 4) return false;
    const LineFit fit = fit_group(s, group, lines);
    if (!sensible(s, fit)) return false;
    take(s, group, fit);
    return true;
}

Peak peak_of(const Search& s, std::size_t k) {
    const Oscillator& line = s.lines[k];
    Peak peak;
    peak.frequency_hz = line.frequency_hz;
    peak.deviation_hz = s.deviations[k][0];
    peak.quality = line.frequency_hz / line.width_hz;
    peak.quality_deviation = *peak.quality * s.deviations[k][1] / line.width_hz;
    peak.height = line.height;
    if (line.width_hz < unresolved * s.resolution) {
        peak.resolution_limited = true;
        peak.quality = line.frequency_hz / std::max(line.width_hz, s.resolution);
        peak.quality_deviation.reset();
        peak.deviation_hz = std::max(peak.deviation_hz, s.resolution / std::sqrt(12.0));  // anywhere in the bin
    }
    return peak;
}

void require_spectrum(const Spectrum& s) {
    if (s.power.size() < least_points)
        throw NoAnswer("the spectrum has fewer than 32 points; cannot tell lines from noise. Record more points");
    const auto [low, high] = std::minmax_element(s.power.begin(), s.power.end());
    if (*low == *high) throw NoAnswer("the spectrum has the same value everywhere; there is no line in it");
}

}  // namespace

FoundPeaks find_peaks(const Spectrum& spectrum) {
    require_spectrum(spectrum);
    Search s{spectrum, background(spectrum.power), {}, 1.0, 0.0, {}, {}};
    const double top = *std::max_element(spectrum.power.begin(), spectrum.power.end());
    for (double& level : s.floor) level = std::max(level, 1e-15 * top);
    s.averages = averages_of(spectrum.power, s.floor);
    const double mean_over_median = std::pow(1.0 - 1.0 / (9.0 * std::max(s.averages, 0.5)), -3.0);
    for (double& level : s.floor) level *= mean_over_median;
    s.model = s.floor;
    s.resolution = std::max(spectrum.resolution_hz, usual_spacing(spectrum));
    for (int round = 0; round < most_rounds && s.lines.size() < most_lines; ++round) {
        bool more = false;
        for (const Bump& bump : bumps(s)) more = (s.lines.size() < most_lines && add_line(s, bump)) || more;
        if (!more) break;
    }
    if (s.lines.empty()) throw NoAnswer("no line of the spectrum stands above its noise");
    FoundPeaks out{{}, s.averages, s.resolution};
    for (std::size_t k = 0; k < s.lines.size(); ++k) out.peaks.push_back(peak_of(s, k));
    std::sort(out.peaks.begin(), out.peaks.end(),
              [](const Peak& a, const Peak& b) { return a.frequency_hz < b.frequency_hz; });
    return out;
}

}  // namespace tymbal
