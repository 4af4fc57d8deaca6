#include "line_search.h"

#include "background.h"
#include "bumps.h"
#include "line_fit.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

namespace tymbal {

namespace {

using Eigen::Index;
using Eigen::VectorXd;

constexpr int most_rounds = 12;
constexpr double least_gain = 12.5;  // ln of the likelihood, a line against none: a height of five sigma
constexpr double lone_gain = 10.0;   // of a lone line narrower than a point: noise passes a bump's threshold with 11
constexpr double unresolved = 1.5;   // widths in units of the resolution
constexpr double least_hump = 4.0;   // height over the background of a line that a finer one could be
constexpr double least_seen = 1e-4;  // of the background: below that a line's wing is nothing
constexpr int most_in_vain = 30;     // bumps in a row that are no lines: what is left are spikes
constexpr double unchanged = 0.01;   // of a bump's height: it is refused once
constexpr int most_settling = 3;
constexpr double least_apart = 0.5;  // of the wider one's width: two lines that one was taken for

/// Lines that were added since may explain a bump.
bool still_stands(const Search& s, const Bump& bump) {
    const std::size_t from = bump.at - std::min(bump.at, bump.width / 2);
    const std::size_t to = std::min(from + bump.width, s.model.size());
    double sum = 0.0;
    for (std::size_t i = from; i < to; ++i) sum += s.spectrum.power[i] / s.model[i];
    return sum > bump.limit * static_cast<double>(to - from);
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
    return {s.spectrum.frequency_hz[bump.at],
            std::max(points, 1.0) * spacing_near(s.spectrum, s.spectrum.frequency_hz[bump.at]), top};
}

std::size_t index_of(const Spectrum& s, double hz) {
    const auto at = std::lower_bound(s.frequency_hz.begin(), s.frequency_hz.end(), hz);
    return static_cast<std::size_t>(
        std::min(at - s.frequency_hz.begin(), static_cast<std::ptrdiff_t>(s.frequency_hz.size()) - 1));
}

/// A stretch of the spectrum around a group of lines, with the background and all lines but the group's.
struct Stretch {
    VectorXd hz, power, floor;
    double averages = 1.0;
};

Stretch stretch_around(const Search& s, const std::vector<std::size_t>& group, const std::vector<Oscillator>& lines,
                       std::size_t most = 2000) {
    double low = 1e300, high = -1e300;
    for (const std::size_t k : group) {
        const Oscillator& line = lines[k];
        const double reach = 10.0 * line.width_hz + 12.0 * spacing_near(s.spectrum, line.frequency_hz);
        low = std::min(low, line.frequency_hz - reach);
        high = std::max(high, line.frequency_hz + reach);
    }
    const std::size_t a = index_of(s.spectrum, low), b = std::min(index_of(s.spectrum, high) + 1, s.model.size());
    const std::size_t stride = std::max<std::size_t>(1, (b - a) / most);  // a wide line needs no more points
    const auto points = static_cast<Index>((b - a + stride - 1) / stride);
    Stretch out{VectorXd(points), VectorXd(points), VectorXd(points), s.averages * static_cast<double>(stride)};
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
        out.hz[i] = f / count;
        out.power[i] = p / count;
        out.floor[i] = std::max(m / count, 1e-12 * p / count + 1e-300);
    }
    return out;
}

LineFit fit_on(const Stretch& stretch, const std::vector<std::size_t>& group, const std::vector<Oscillator>& lines) {
    std::vector<Oscillator> start;
    for (const std::size_t k : group) start.push_back(lines[k]);
    return fit_lines(stretch.hz, stretch.power, stretch.floor, std::move(start), stretch.averages);
}

/// By how much one line of a group raises ln of the likelihood above the best that the others do without it.
double gain_of(std::size_t k, const LineFit& with, const Stretch& stretch, std::vector<std::size_t> group,
               const std::vector<Oscillator>& lines) {
    group.erase(std::find(group.begin(), group.end(), k));
    return with.log_likelihood - fit_on(stretch, group, lines).log_likelihood;
}

void add_to_model(Search& s, const Oscillator& line, double sign) {
    const double reach = line.width_hz * std::sqrt(line.height / (least_seen * s.least));
    const std::size_t to = index_of(s.spectrum, line.frequency_hz + reach) + 1;
    for (std::size_t i = index_of(s.spectrum, line.frequency_hz - reach); i < to; ++i)
        s.model[i] += sign * line(s.spectrum.frequency_hz[i]);
}

bool overlap(const Oscillator& a, const Oscillator& b) {
    return std::abs(a.frequency_hz - b.frequency_hz) < 4.0 * std::max(a.width_hz, b.width_hz);
}

/// A wide hump is a line only where it is high and lies well inside: backgrounds wander too.
bool is_background(const Search& s, const Oscillator& line, double floor) {
    const auto& f = s.spectrum.frequency_hz;
    const double spacing = spacing_near(s.spectrum, line.frequency_hz);
    if (line.width_hz < static_cast<double>(finest_block(f.size())) * spacing) return false;
    const double inside = std::min(line.frequency_hz - f.front(), f.back() - line.frequency_hz);
    return line.height < least_hump * floor || inside < line.width_hz;
}

bool sensible(const Search& s, const LineFit& fit) {
    if (!fit.sound) return false;
    const double span = s.spectrum.frequency_hz.back() - s.spectrum.frequency_hz.front();
    for (std::size_t k = 0; k < fit.lines.size(); ++k) {
        const Oscillator& line = fit.lines[k];
        const double place = std::max(line.width_hz, s.resolution);
        if (line.width_hz > span || is_background(s, line, fit.floor[k])) return false;
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

/// The guess, or one five or 25 times as wide, whichever leads to the best fit: the highest point of a wide line is a
/// narrow spike of its noise.
Oscillator best_guess(const Search& s, const Bump& bump) {
    const Oscillator narrow = guess(s, bump);
    if (is_finest(s)) return narrow;
    Oscillator wide = narrow;
    wide.width_hz *= 5.0;
    const std::size_t next = s.lines.size();
    std::vector<Oscillator> lines = s.lines;
    lines.push_back(wide);
    const Stretch stretch = stretch_around(s, {next}, lines, 400);
    double most = -1e300;
    Oscillator best = narrow;
    for (const double factor : {1.0, 5.0, 25.0}) {
        lines.back() = narrow;
        lines.back().width_hz *= factor;
        const LineFit fit = fit_on(stretch, {next}, lines);
        if (!fit.sound || fit.log_likelihood <= most) continue;
        most = fit.log_likelihood;
        best = fit.lines.front();
    }
    return best;
}

void drop(Search& s, std::size_t k) {
    add_to_model(s, s.lines[k], -1.0);
    s.lines.erase(s.lines.begin() + static_cast<std::ptrdiff_t>(k));
    s.deviations.erase(s.deviations.begin() + static_cast<std::ptrdiff_t>(k));
}

/// One more line, together with those it overlaps. It must raise the likelihood by far more than its three parameters
/// would by chance; of a lone line narrower than a point the bump itself has shown that.
bool add_line(Search& s, const Bump& bump) {
    std::vector<Oscillator> lines = s.lines;
    lines.push_back(best_guess(s, bump));
    std::vector<std::size_t> group;
    for (std::size_t k = 0; k < s.lines.size(); ++k)
        if (overlap(s.lines[k], lines.back())) group.push_back(k);
    group.push_back(s.lines.size());
    if (group.size() > 4) return false;
    const Stretch stretch = stretch_around(s, group, lines);
    const LineFit fit = fit_on(stretch, group, lines);
    if (!sensible(s, fit)) return false;
    if ((group.size() > 1 || is_resolved(s, fit.lines.back())) &&
        gain_of(group.back(), fit, stretch, group, lines) < least_gain)
        return false;
    take(s, group, fit);
    return true;
}

double median_over_mean(double averages) {
    return std::pow(1.0 - 1.0 / (9.0 * averages), 3.0);
}

/// The background again, now that lines explain more of the spectrum.
void renew_background(Search& s) {
    const auto& power = s.spectrum.power;
    std::vector<double> lines(s.model.size());
    for (std::size_t i = 0; i < lines.size(); ++i) lines[i] = s.model[i] - s.floor[i];
    const auto next = background_under(power, s.model, lines, median_over_mean(s.averages), s.block);
    for (std::size_t i = 0; i < lines.size(); ++i) s.model[i] = next[i] + lines[i];
    s.floor = next;
}

std::vector<std::size_t> group_of(const Search& s, std::size_t k) {
    std::vector<std::size_t> group;
    for (std::size_t j = 0; j < s.lines.size(); ++j)
        if (overlap(s.lines[j], s.lines[k])) group.push_back(j);
    return group;
}

/// Drops lines that the others, fitted without them, make superfluous; false: there is none.
bool drop_superfluous(Search& s) {
    const std::size_t before = s.lines.size();
    for (std::size_t k = 0; k < s.lines.size();) {
        const auto group = group_of(s, k);
        const Stretch stretch = stretch_around(s, group, s.lines);
        const double least = group.size() > 1 || is_resolved(s, s.lines[k]) ? least_gain : lone_gain;
        if (group.size() > 4 || gain_of(k, fit_on(stretch, group, s.lines), stretch, group, s.lines) > least)
            ++k;
        else
            drop(s, k);
    }
    return s.lines.size() < before;
}

/// Was the same bump refused before, nothing having changed there since?
bool refused_before(const std::vector<Bump>& refused, const Bump& bump) {
    return std::any_of(refused.begin(), refused.end(), [&](const Bump& r) {
        return r.at == bump.at && r.width == bump.width && std::abs(r.excess / bump.excess - 1.0) < unchanged;
    });
}

/// Lines for all bumps that are none yet, the highest first, until `most` are known or nothing but spikes is left;
/// false: there was none to add.
bool add_lines(Search& s, std::size_t most, std::vector<Bump>& refused) {
    const std::size_t before = s.lines.size();
    int in_vain = 0;
    for (const Bump& bump : bumps(s.spectrum.power, s.model, s.averages)) {
        if (s.lines.size() >= most || in_vain >= most_in_vain) break;
        if (!still_stands(s, bump) || refused_before(refused, bump)) continue;
        if (add_line(s, bump)) {
            in_vain = 0;
            continue;
        }
        ++in_vain;
        refused.push_back(bump);
    }
    return s.lines.size() > before;
}

/// Two lines where one, too wide, was taken for both: its wings leave no bump that would show the second. They must
/// raise the likelihood as any line must, and be a pair rather than one line of another shape.
bool split_line(Search& s, std::size_t k) {
    std::vector<std::size_t> group = group_of(s, k);
    if (!is_resolved(s, s.lines[k]) || group.size() > 3) return false;
    const Stretch stretch = stretch_around(s, group, s.lines);
    const double without = fit_on(stretch, group, s.lines).log_likelihood;
    std::vector<Oscillator> lines = s.lines;
    Oscillator second = lines[k];
    second.width_hz *= 0.5;
    lines[k] = second;
    lines[k].frequency_hz -= second.width_hz;
    second.frequency_hz += second.width_hz;
    group.push_back(lines.size());
    lines.push_back(second);
    const LineFit fit = fit_on(stretch, group, lines);
    if (!sensible(s, fit) || fit.log_likelihood - without < least_gain) return false;
    const auto first = static_cast<std::size_t>(std::find(group.begin(), group.end(), k) - group.begin());
    const Oscillator &a = fit.lines[first], &b = fit.lines.back();
    if (std::abs(a.frequency_hz - b.frequency_hz) < least_apart * std::max(a.width_hz, b.width_hz)) return false;
    take(s, group, fit);
    return true;
}

bool split_lines(Search& s, std::size_t most) {
    const std::size_t before = s.lines.size();
    for (std::size_t k = 0; k < before && s.lines.size() < most; ++k) split_line(s, k);
    return s.lines.size() > before;
}

}  // namespace

double spacing_near(const Spectrum& s, double hz) {
    const std::size_t i = index_of(s, hz), last = s.frequency_hz.size() - 1;
    const std::size_t a = i == 0 ? 0 : i - 1, b = std::min(i + 1, last);
    return (s.frequency_hz[b] - s.frequency_hz[a]) / static_cast<double>(b - a);
}

bool is_resolved(const Search& s, const Oscillator& line) {
    return line.width_hz > unresolved * s.resolution;
}

bool is_finest(const Search& s) {
    return s.block == finest_block(s.model.size());
}

Search search(const Spectrum& spectrum, std::size_t block, double averages, std::size_t most) {
    Search s{spectrum, block, background(spectrum.power, block), {}, averages, 0.0, 0.0, false, {}, {}};
    const double top = *std::max_element(spectrum.power.begin(), spectrum.power.end());
    for (double& level : s.floor) level = std::max(level, 1e-15 * top) / median_over_mean(averages);
    s.model = s.floor;
    s.least = *std::min_element(s.floor.begin(), s.floor.end());
    s.resolution = std::max(spectrum.resolution_hz, usual_spacing(spectrum));
    const bool finest = is_finest(s);
    std::vector<Bump> refused;
    for (int round = 0; round < most_rounds && s.lines.size() < most; ++round) {
        const bool added = add_lines(s, most, refused);
        if (!split_lines(s, most) && !added) break;
        if (!finest) renew_background(s);
    }
    if (!finest && s.lines.size() < most) refit(s);
    return s;
}

void refit(Search& s) {
    for (std::size_t k = 0; k < s.lines.size(); ++k) {
        const auto group = group_of(s, k);
        if (group.front() < k || group.size() > 4) continue;
        const LineFit fit = fit_on(stretch_around(s, group, s.lines), group, s.lines);
        if (sensible(s, fit)) take(s, group, fit);
    }
    renew_background(s);
}

void settle(Search& s) {
    for (int step = 0; step < most_settling; ++step) refit(s);
    while (drop_superfluous(s)) refit(s);
}

}  // namespace tymbal
