#include "line_group.h"

#include "background.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace tymbal {

namespace {

using Eigen::Index;
using Eigen::VectorXd;

constexpr double unresolved = 1.5;   // widths in units of the resolution
constexpr double least_hump = 4.0;   // height over the background of a line that a finer one could be
constexpr double least_seen = 1e-4;  // of the background: below that a line's wing is nothing

std::size_t index_of(const Spectrum& s, double hz) {
    const auto at = std::lower_bound(s.frequency_hz.begin(), s.frequency_hz.end(), hz);
    return static_cast<std::size_t>(
        std::min(at - s.frequency_hz.begin(), static_cast<std::ptrdiff_t>(s.frequency_hz.size()) - 1));
}

void add_to_model(Search& s, const Oscillator& line, double sign) {
    const double reach = line.width_hz * std::sqrt(line.height / (least_seen * s.least));
    const std::size_t to = index_of(s.spectrum, line.frequency_hz + reach) + 1;
    for (std::size_t i = index_of(s.spectrum, line.frequency_hz - reach); i < to; ++i)
        s.model[i] += sign * line(s.spectrum.frequency_hz[i]);
}

/// A wide hump is a line only where it is high and lies well inside: backgrounds wander too.
bool is_background(const Search& s, const Oscillator& line, double floor) {
    const auto& f = s.spectrum.frequency_hz;
    const double spacing = spacing_near(s.spectrum, line.frequency_hz);
    if (line.width_hz < static_cast<double>(finest_block(f.size())) * spacing) return false;
    const double inside = std::min(line.frequency_hz - f.front(), f.back() - line.frequency_hz);
    return line.height < least_hump * floor || inside < line.width_hz;
}

}  // namespace

bool overlap(const Oscillator& a, const Oscillator& b) {
    return std::abs(a.frequency_hz - b.frequency_hz) < 4.0 * std::max(a.width_hz, b.width_hz);
}

Group group_of(const Search& s, std::size_t k) {
    Group group;
    for (std::size_t j = 0; j < s.lines.size(); ++j)
        if (overlap(s.lines[j], s.lines[k])) group.push_back(j);
    return group;
}

Stretch stretch_around(const Search& s, const Group& group, const std::vector<Oscillator>& lines, std::size_t most) {
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

LineFit fit_on(const Stretch& stretch, const Group& group, const std::vector<Oscillator>& lines) {
    std::vector<Oscillator> start;
    for (const std::size_t k : group) start.push_back(lines[k]);
    return fit_lines(stretch.hz, stretch.power, stretch.floor, std::move(start), stretch.averages);
}

LineFit fit_without(std::size_t k, const Stretch& stretch, Group group, const std::vector<Oscillator>& lines) {
    group.erase(std::find(group.begin(), group.end(), k));
    return fit_on(stretch, group, lines);
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

void take(Search& s, const Group& group, const LineFit& fit) {
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

void drop(Search& s, std::size_t k) {
    add_to_model(s, s.lines[k], -1.0);
    s.lines.erase(s.lines.begin() + static_cast<std::ptrdiff_t>(k));
    s.deviations.erase(s.deviations.begin() + static_cast<std::ptrdiff_t>(k));
}

bool is_finest(const Search& s) {
    return s.block == finest_block(s.model.size());
}

bool is_resolved(const Search& s, const Oscillator& line) {
    return line.width_hz > unresolved * s.resolution;
}

double spacing_near(const Spectrum& s, double hz) {
    const std::size_t i = index_of(s, hz), last = s.frequency_hz.size() - 1;
    const std::size_t a = i == 0 ? 0 : i - 1, b = std::min(i + 1, last);
    return (s.frequency_hz[b] - s.frequency_hz[a]) / static_cast<double>(b - a);
}

}  // namespace tymbal
