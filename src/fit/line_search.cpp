#include "line_search.h"

#include "background.h"
#include "bumps.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

constexpr int most_rounds = 12;
constexpr double least_gain = 12.5;  // ln of the likelihood, a line against none: a height of five sigma
constexpr double lone_gain = 10.0;   // of a lone line narrower than a point: noise passes a bump's threshold with 11
constexpr int most_in_vain = 30;     // bumps in a row that are no lines: what is left are spikes
constexpr double unchanged = 0.01;   // of a bump's height: it is refused once
constexpr int most_settling = 3;
constexpr double least_apart = 1.5;  // of the wider one's width: a line that drifts by two of them looks like two

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

/// One more line, together with those it overlaps. It must raise the likelihood by far more than its three parameters
/// would by chance; of a lone line narrower than a point the bump itself has shown that.
bool add_line(Search& s, const Bump& bump) {
    std::vector<Oscillator> lines = s.lines;
    lines.push_back(best_guess(s, bump));
    Group group;
    for (std::size_t k = 0; k < s.lines.size(); ++k)
        if (overlap(s.lines[k], lines.back())) group.push_back(k);
    group.push_back(s.lines.size());
    if (group.size() > most_together) return false;
    const Stretch stretch = stretch_around(s, group, lines);
    const LineFit fit = fit_on(stretch, group, lines);
    if (!sensible(s, fit)) return false;
    if ((group.size() > 1 || is_resolved(s, fit.lines.back())) &&
        fit.log_likelihood - fit_without(group.back(), stretch, group, lines).log_likelihood < least_gain)
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

/// Drops a line that the others, fitted without it, make superfluous. They become what that fit made of them: the one
/// that stays may have been the shoulder of the one that goes.
bool drop_if_superfluous(Search& s, std::size_t k) {
    Group group = group_of(s, k);
    if (group.size() > most_together) return false;
    const Stretch stretch = stretch_around(s, group, s.lines);
    const double least = group.size() > 1 || is_resolved(s, s.lines[k]) ? least_gain : lone_gain;
    const LineFit with = fit_on(stretch, group, s.lines), without = fit_without(k, stretch, group, s.lines);
    if (with.log_likelihood - without.log_likelihood > least) return false;
    drop(s, k);
    group.erase(std::find(group.begin(), group.end(), k));
    for (std::size_t& other : group) other -= other > k ? 1 : 0;
    if (sensible(s, without)) take(s, group, without);
    return true;
}

/// False: there was none to drop.
bool drop_superfluous(Search& s) {
    const std::size_t before = s.lines.size();
    for (std::size_t k = 0; k < s.lines.size();)
        if (!drop_if_superfluous(s, k)) ++k;
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
    Group group = group_of(s, k);
    if (!is_resolved(s, s.lines[k]) || group.size() == most_together) return false;
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
        if (group.front() < k || group.size() > most_together) continue;
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
