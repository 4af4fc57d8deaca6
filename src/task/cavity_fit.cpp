#include "tymbal/task/cavity_fit.h"

#include "printed.h"

#include "tymbal/base/error.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

std::vector<DetunedLine> lines_of(const Measured& measured) {
    std::vector<DetunedLine> lines;
    for (const Peak& peak : measured.peaks) {
        if (!peak.detuning_hz)
            throw InputError({measured.file, peak.line}, "detuning", "is empty; give the detuning of every row");
        DetunedLine line{*peak.detuning_hz, peak.frequency_hz, peak.deviation_hz, {}, 0.0};
        if (peak.quality) line.width_hz = peak.frequency_hz / *peak.quality;
        if (peak.quality && peak.quality_deviation)
            line.width_deviation_hz = *line.width_hz * *peak.quality_deviation / *peak.quality;
        lines.push_back(line);
    }
    std::stable_sort(lines.begin(), lines.end(),
                     [](const DetunedLine& a, const DetunedLine& b) { return a.detuning_hz < b.detuning_hz; });
    return lines;
}

/// The design with the power of the measurement.
Device under_power(const Device& device, const Measured& measured) {
    Device lit = device;
    if (lit.cavity && measured.conditions.power_w) lit.cavity->power = Power::from_si(*measured.conditions.power_w);
    if (lit.cavity && !(lit.cavity->power && lit.cavity->power->si() > 0.0))
        throw InputError({device.file, 0}, "cavity.power",
                         "is missing; give the power on the input mirror there, or in the measured file as a comment "
                         "'laser power: 10 uW'");
    return lit;
}

/// [target]'s where the design names one, else the nearest that light meets.
const ModeInCavity& mode_of(const Device& device, const CavityReport& r, const std::vector<DetunedLine>& lines) {
    const auto met = [](const ModeInCavity& m) { return m.mode.g0_hz > 0.0; };
    if (!device.target.mode.empty()) {
        if (met(r.modes[r.wanted])) return r.modes[r.wanted];
        throw NoAnswer("the cavity's light does not meet the mode '" + r.modes[r.wanted].label +
                       "' of [target]; move readout.position or name another mode");
    }
    const double middle = lines[lines.size() / 2].frequency_hz;
    const ModeInCavity* nearest = nullptr;
    for (const ModeInCavity& m : r.modes)
        if (met(m) && (nearest == nullptr ||
                       std::abs(m.mode.frequency_hz - middle) < std::abs(nearest->mode.frequency_hz - middle)))
            nearest = &m;
    if (nearest == nullptr) throw NoAnswer("the cavity's light meets none of the modes; move readout.position");
    return *nearest;
}

struct Spread {
    double mean = 0.0, deviation = 0.0;
};

/// Of the input mirror's share of kappa along the travel, at the places whose kappa is about that of the lines where
/// they tell one: nobody knows the film's place to a part of a wavelength.
Spread input_share(const HalfWavelength& travel, const std::optional<double>& kappa_hz) {
    constexpr double about = 0.1;  // of ln kappa; chosen, about what fit and mirrors leave open
    double all = 0.0, sum = 0.0, squares = 0.0;
    for (const CavityPoint& p : travel.points) {
        const double off = kappa_hz ? std::log(p.kappa_hz / *kappa_hz) / about : 0.0;
        const double weight = std::exp(-0.5 * off * off), share = p.kappa_input_hz / p.kappa_hz;
        all += weight;
        sum += weight * share;
        squares += weight * share * share;
    }
    const double mean = sum / all;
    return {mean, std::sqrt(std::max(0.0, squares / all - mean * mean))};
}

/// Mirrors are as wide as their data sheet says within a third, and the place counts.
SpringLight light_of(const CavityFit& f, const CavityReport& r) {
    constexpr double mirrors = 0.3;  // of ln kappa; common practice, no published source
    const double places = 0.5 * std::log(f.kappa_largest_hz / f.kappa_least_hz);
    return {r.wavelength_m, f.power_w, f.input_share, std::sqrt(f.kappa_least_hz * f.kappa_largest_hz),
            std::hypot(mirrors, places)};
}

/// Between two points of the travel at whose ends the coupling lies on either side of the one wanted.
std::optional<CavityPoint> place_of(const HalfWavelength& travel, double coupling_hz_per_m, double kappa_hz) {
    std::optional<CavityPoint> best;
    const auto over = [&](const CavityPoint& p) { return std::abs(p.linear_coupling_hz_per_m) - coupling_hz_per_m; };
    for (std::size_t k = 1; k < travel.points.size(); ++k) {
        const CavityPoint &a = travel.points[k - 1], &b = travel.points[k];
        if ((over(a) > 0.0) == (over(b) > 0.0)) continue;
        const CavityPoint& nearer = std::abs(over(a)) < std::abs(over(b)) ? a : b;
        if (!best || std::abs(nearer.kappa_hz - kappa_hz) < std::abs(best->kappa_hz - kappa_hz)) best = nearer;
    }
    return best;
}

/// At the detuning of the lines that lets in most light.
double most_photons(const CavityFit& f) {
    const CavityLine line{f.wavelength_m, f.fit.kappa_hz, f.input_share * f.fit.kappa_hz};
    double most = 0.0;
    for (const DetunedLine& l : f.lines) most = std::max(most, photons(line, {f.power_w, l.detuning_hz}));
    return most;
}

/// Light that the film absorbs moves the mode, too, most where the cavity holds most of it.
void warn_of_heat(const CavityReport& r, CavityFit& f) {
    constexpr double notable = 0.1;  // of the largest spring
    if (!r.heat) return;
    double spring = 0.0;
    for (const DetunedLine& l : f.lines)
        spring = std::max(spring, std::abs(line_at(f.fit, l.detuning_hz).frequency_hz - f.fit.frequency_hz));
    const double heat = std::abs(r.heat->relative_shift) * f.mode.mode.frequency_hz;
    if (heat > notable * spring)
        f.warnings.push_back(
            {"heat-shifts", printed("light absorbed in the film shifts the mode by some %.2g Hz, its spring by %.2g "
                                    "Hz at most: the fit takes both for spring; use less power or fit the widths",
                                    heat, spring)});
}

void warn_of_coupling(CavityFit& f) {
    constexpr double surely = 2.0;
    if (f.of_best_place - surely * f.of_best_place_deviation > 1.0)
        f.warnings.push_back(
            {"coupling-too-large",
             printed("the lines show %.2f of the coupling that the best place has: check power on the input mirror, "
                     "spot, detunings and which mode this is",
                     f.of_best_place)});
    const double off = f.fit.frequency_hz - f.mode.mode.frequency_hz;
    if (f.mode.frequency_deviation_hz > 0.0 && std::abs(off) > 3.0 * f.mode.frequency_deviation_hz)
        f.warnings.push_back(
            {"other-frequency",
             printed(
                 "without light the mode rings %+.2g of itself from where the design has %s, %.2g deviations: is it "
                 "this mode? Compare the film's lines first",
                 off / f.mode.mode.frequency_hz, f.mode.label.c_str(), std::abs(off) / f.mode.frequency_deviation_hz)});
}

void warn_of_fit(CavityFit& f) {
    constexpr double bad = 3.0, weak = 0.25, other = 1.3;
    const double kappa = f.fit.kappa_hz;
    if (f.fit.kappa_is_found && (kappa < f.kappa_least_hz / other || kappa > f.kappa_largest_hz * other))
        f.warnings.push_back(
            {"other-kappa",
             printed("the lines' kappa/2pi of %.3g kHz is none that the design has on the film's travel: "
                     "correct its mirrors or their loss, on which g0 hangs by the light that enters",
                     1e-3 * kappa)});
    if (f.fit.misfit && *f.fit.misfit > bad)
        f.warnings.push_back(
            {"misfit", printed("the lines scatter more than their deviations say (chi^2 %.2g per degree of freedom): "
                               "errors are widened by its root; a detuning off by a constant, drifting power or heat "
                               "would do that",
                               *f.fit.misfit)});
    if (!f.fit.kappa_is_found)
        f.warnings.push_back(
            {"kappa-of-design",
             "the lines do not tell the cavity's width: it is the design's with its doubt, and g0 hangs on it; measure "
             "kappa, or detunings on both sides of half a width"});
    if (most_photons(f) * std::pow(f.fit.g0_hz, 2) > std::pow(weak * f.fit.kappa_hz, 2))
        f.warnings.push_back({"weak-coupling",
                              "g = g0 sqrt(n_cav) is above kappa/4 at some detunings: light and motion mix there, and "
                              "the formulas of weak coupling err; take less power"});
}

}  // namespace

bool has_detunings(const Measured& measured) {
    return std::any_of(measured.peaks.begin(), measured.peaks.end(),
                       [](const Peak& peak) { return peak.detuning_hz.has_value(); });
}

CavityFit fit_cavity(const Device& device, const Materials& materials, const Measured& measured,
                     const Progressed& progressed, const SolveEffort& large) {
    const Device lit = under_power(device, measured);
    CavityFit out;
    out.lines = lines_of(measured);
    const CavityReport r = see_cavity(lit, materials, progressed, large);
    out.title = r.title;
    out.sha256 = r.sha256;
    out.measured = measured;
    out.wavelength_m = r.wavelength_m;
    out.power_w = lit.cavity->power->si();
    out.mode = mode_of(device, r, out.lines);
    const auto [least, largest] =
        std::minmax_element(r.travel.points.begin(), r.travel.points.end(),
                            [](const CavityPoint& a, const CavityPoint& b) { return a.kappa_hz < b.kappa_hz; });
    out.kappa_least_hz = least->kappa_hz;
    out.kappa_largest_hz = largest->kappa_hz;
    Spread share = input_share(r.travel, {});
    out.input_share = share.mean;
    out.fit = fit_spring(out.lines, light_of(out, r));
    const double nearest = std::clamp(out.fit.kappa_hz, out.kappa_least_hz, out.kappa_largest_hz);
    if (out.fit.kappa_is_found) share = input_share(r.travel, nearest);
    out.input_share = share.mean;
    out.input_share_deviation = share.deviation;
    out.fit = fit_spring(out.lines, light_of(out, r));
    // g0^2 goes with the inverse of the light that enters.
    out.g0_deviation_hz = std::hypot(out.fit.g0_deviation_hz, 0.5 * out.fit.g0_hz * share.deviation / share.mean);
    out.of_best_place = out.fit.g0_hz / out.mode.mode.g0_hz;
    out.of_best_place_deviation = out.g0_deviation_hz / out.mode.mode.g0_hz;
    out.place =
        place_of(r.travel, out.of_best_place * std::abs(r.travel.place.linear_coupling_hz_per_m), out.fit.kappa_hz);
    warn_of_coupling(out);
    warn_of_fit(out);
    warn_of_heat(r, out);
    out.sources = r.sources;
    return out;
}

}  // namespace tymbal
