#include "verdict.h"

#include "measured_gas.h"
#include "printed.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace tymbal {

namespace {

constexpr double notable = 2.5;  // sigmas from which a trend or a split is spoken of

const FittedValue* find(const Comparison& c, const std::string& name) {
    for (const FittedValue& v : c.values)
        if (v.name == name) return &v;
    return nullptr;
}

/// "958 +- 19 MPa": as many digits as sigma carries.
std::string megapascal(double pascal, double sigma) {
    const int decimals = std::clamp(1 - static_cast<int>(std::floor(std::log10(1e-6 * sigma))), 0, 4);
    return printed("%.*f +- %.*f MPa", decimals, 1e-6 * pascal, decimals, 1e-6 * sigma);
}

std::string stress_sentence(const Comparison& c) {
    const FittedValue& s = c.values.front();
    std::string text = std::string("film stress ").append(megapascal(s.fitted, s.deviation)).append(", design ");
    if (!s.prior) return text.append(printed("%.4g MPa", 1e-6 * s.designed));
    const double apart = std::abs(s.fitted - s.designed) / std::hypot(s.deviation, *s.prior);
    text.append(megapascal(s.designed, *s.prior)).append(printed(": %.1f sigmas apart", apart));
    return text + (apart > notable ? "; one of film, density or sizes is not what the design says" : "");
}

std::string scatter_sentence(const Comparison& c) {
    if (c.fit.freedom < 0.5) return "as many parameters as lines: the fit cannot be tested";
    const bool stated = std::any_of(c.devices.front().peaks.begin(), c.devices.front().peaks.end(),
                                    [](const ComparedPeak& p) { return p.mode > 0 && p.peak.deviation_hz > 0.0; });
    if (!stated)
        return printed(
            "the peaks state no uncertainties; their scatter about the fit is %.1e of the frequency and sets "
            "the errors given here",
            c.fit.scatter);
    std::string text = printed("chi-square %.1f for %.1f free data", c.fit.chi_square, c.fit.freedom);
    if (c.fit.scatter > 1e-6)
        return text + printed(
                          "; the lines scatter by %.1e of their frequency beyond the stated errors, which is "
                          "counted in the errors given here",
                          c.fit.scatter);
    return text + ": the stated errors explain the residuals";
}

/// Weighted slope of the residuals over (f/f1)^2, with its sigma: bending lifts high modes, added mass and gas lower
/// them.
std::array<double, 2> trend(const Comparison& c) {
    double sw = 0.0, sx = 0.0, sy = 0.0, sxx = 0.0, sxy = 0.0;
    for (const DeviceComparison& d : c.devices)
        for (const ComparedPeak& p : d.peaks) {
            if (p.mode == 0) continue;
            const Mode& mode = d.prediction.modes[static_cast<std::size_t>(p.mode - 1)].mode;
            const double u = std::hypot(p.peak.deviation_hz, mode.discretisation_error_hz) / p.peak.frequency_hz;
            const double w = 1.0 / std::max(u * u + c.fit.scatter * c.fit.scatter, 1e-16);
            const double x = std::pow(p.fitted_hz / d.prediction.modes.front().mode.frequency_hz, 2);
            sw += w;
            sx += w * x;
            sy += w * p.residual;
            sxx += w * x * x;
            sxy += w * x * p.residual;
        }
    const double spread = sxx - sx * sx / sw;
    if (!(spread > 0.0)) return {0.0, 1.0};
    return {(sxy - sx * sy / sw) / spread, 1.0 / std::sqrt(spread)};
}

std::string trend_sentence(const Comparison& c) {
    const auto [slope, sigma] = trend(c);
    if (c.fit.freedom < 3.0 || std::abs(slope) < notable * sigma)
        return "no trend of the residuals with the order of the mode";
    const std::string size = printed("%+.1e per (f/f1)^2 (%.1f sigmas)", slope, std::abs(slope) / sigma);
    if (slope > 0.0)
        return "high modes lie high, " + size + ": more bending than the design has; check thickness and modulus";
    return "high modes lie low, " + size + ": added mass, gas, or a clamp that gives way";
}

/// "0.46 +- 0.02 % in size or 0.92 +- 0.04 % in stress": by how much, when the pairs are split at all.
std::string split_sentence(const Comparison& c, const DeviceComparison& d) {
    if (!d.split || std::abs(d.split->stress) < notable * d.split->deviation) return "";
    const double stress = 100.0 * std::abs(d.split->stress), sigma = 100.0 * d.split->deviation;
    const int decimals = std::clamp(1 - static_cast<int>(std::floor(std::log10(0.5 * sigma))), 0, 4);
    std::string text = "pairs";
    if (c.devices.size() > 1) text.append(" of ").append(d.name.empty() ? d.measured.file : d.name);
    return text.append(
        printed(" are split: width and height differ by %.*f +- %.*f %% in size or by %.*f +- %.*f %% in "
                "stress, not separable by frequencies",
                decimals, 0.5 * stress, decimals, 0.5 * sigma, decimals, stress, decimals, sigma));
}

/// How far the edges lie from where the design has them.
std::string edge_sentence(const Comparison& c) {
    std::string text;
    if (const FittedValue* growth = find(c, "outline.growth"))
        text = printed(
            "all edges lie %.4g +- %.2g nm further out than the design says (over-etch), if the film "
            "is the same on all devices",
            1e9 * growth->fitted, 1e9 * growth->deviation);
    if (const FittedValue* undercut = find(c, "release.undercut")) {
        text.append(text.empty() ? "" : "; ");
        text.append(printed("the undercut is %.4g +- %.2g um, design %.4g um", 1e6 * undercut->fitted,
                            1e6 * undercut->deviation, 1e6 * undercut->designed));
    }
    return text;
}

/// "the stress rises by 1.20 +- 0.05 MPa/mm along x": where the lines of several devices ask for it.
std::string gradient_sentence(const Comparison& c) {
    std::string text;
    for (const char* axis : {"x", "y"})
        if (const FittedValue* g = find(c, std::string("film.stress_gradient_") + axis))
            text.append(text.empty() ? "the stress rises over the chip by " : " and by ")
                .append(printed("%.3g +- %.2g MPa/mm along ", 1e-9 * g->fitted, 1e-9 * g->deviation))
                .append(axis);
    return text;
}

/// "release.undercut with the stress (r = -0.93)": what the lines of a ladder fix together rather than each.
std::string bound_together(const Comparison& c) {
    constexpr double strongly = 0.8;
    std::string text;
    for (const FittedValue& v : c.values)
        if ((v.name == "release.undercut" || v.name == "outline.growth") &&
            std::abs(v.correlation_with_stress) > strongly)
            text.append(text.empty() ? "" : ", ")
                .append(full_name(v))
                .append(printed(" with the stress (r = %.2f)", v.correlation_with_stress));
    return text;
}

/// Lower bound of the material's own Q: what the best mode needs when nothing else takes energy.
std::string material_sentence(const DeviceComparison& d) {
    double best = 0.0, model = 0.0;
    std::string label;
    for (const ComparedPeak& p : d.peaks) {
        if (p.mode == 0 || !p.peak.quality) continue;
        const LossBudget& losses = d.prediction.modes[static_cast<std::size_t>(p.mode - 1)].losses;
        const double intrinsic = *p.peak.quality / losses.dilution.factor;
        if (intrinsic <= best) continue;
        best = intrinsic;
        label = p.label;
        for (const LossTerm& term : losses.terms)
            if (term.name == "intrinsic" && term.quality) model = term.quality->value;
    }
    if (best == 0.0) return "";
    std::string text = printed("the film's own Q is at least %.2g (from ", best) + label;
    return text + printed(", diluted as computed); the material table has %.2g", model);
}

/// "radiation (3), material (2)": which term of the budget sets the modes whose Q is within their band.
std::string mechanisms(const DeviceComparison& d) {
    std::map<std::string, int> counts;
    for (const ComparedPeak& p : d.peaks)
        if (p.mode > 0 && p.peak.quality && p.budget && *p.peak.quality >= p.budget->low &&
            *p.peak.quality <= p.budget->high)
            ++counts[heading(p.limited_by)];
    std::string text;
    for (const auto& [name, count] : counts)
        text.append(text.empty() ? "" : ", ").append(name).append(printed(" (%d)", count));
    return text;
}

/// Gas that is there but has no number at this pressure.
bool gas_without_number(const DeviceComparison& d) {
    for (const LossTerm& term : d.prediction.modes.front().losses.terms)
        if ((term.name == "gas" || term.name == "squeeze_film") && !term.quality && term.note.rfind("Knudsen", 0) == 0)
            return true;
    return false;
}

/// How measured Qs stand to the budget.
void quality_sentences(const DeviceComparison& d, std::vector<std::string>& out) {
    if (gas_without_number(d)) {
        out.emplace_back("Q is not judged: at this pressure gas takes part and has no formula; pump down");
        return;
    }
    int below = 0, above = 0, within = 0;
    std::string worst;
    double least = 1.0;
    for (const ComparedPeak& p : d.peaks) {
        if (p.mode == 0 || !p.peak.quality || !p.budget || p.peak.resolution_limited) continue;
        const double q = *p.peak.quality;
        (q < p.budget->low ? below : q > p.budget->high ? above : within) += 1;
        if (q / p.budget->low < least) {
            least = q / p.budget->low;
            worst = p.label;
        }
    }
    if (below + above + within == 0) return;
    out.push_back(
        printed("Q: %d of the named modes within the predicted band, %d below, %d above", within, below, above));
    if (within > 0) out.push_back("where Q is as predicted it is set by " + mechanisms(d));
    if (above > 0)
        out.push_back(
            "where Q is above its band the budget takes too much loss: radiation, which depends on the mount, or a "
            "material better than the table's");
    if (below > 0)
        out.push_back(worst + printed(" loses %.2g times more than the worst of its budget: a chip or mount mode near "
                                      "it, gas at the film, or dirt; remount and compare",
                                      1.0 / least));
    const std::string material = material_sentence(d);
    if (!material.empty()) out.push_back(material);
}

/// What frequencies leave open about the film.
void add_open_film(const Comparison& c, std::vector<std::string>& out) {
    const FittedValue& s = c.values.front();
    std::string inputs;
    for (const FittedValue& v : c.values)
        if (v.name != "film.stress" && std::abs(v.correlation_with_stress) > 0.2)
            inputs.append(inputs.empty() ? "" : ", ").append(full_name(v));
    std::string first = printed(
        "frequencies carry only stress/(density size^2) and, through bending, modulus thickness^2/(density size^4): "
        "the "
        "first is known to %.1e, the stress alone to %.1e",
        c.group_deviation, s.deviation / s.fitted);
    if (!inputs.empty()) first.append(" because of ").append(inputs);
    out.push_back(first);
    if (find(c, "outline.width") != nullptr || find(c, "film.tilt") != nullptr)
        out.emplace_back(
            "unequal sides and unequal stresses split pairs by the same law; only a measured size (to 0.1 %) "
            "parts them, and which of x and y is which shows in mode shapes, not in frequencies");
    if (c.devices.size() == 1)
        out.emplace_back(
            "one device cannot separate over-etch from wave speed; devices of several sizes, compared together, can");
    else
        out.emplace_back("several devices cannot separate stress from density");
    const std::string together = bound_together(c);
    if (!together.empty() && c.devices.size() > 1)
        out.push_back("the lines fix these mostly together, a device of a very different size parts them: " + together);
}

}  // namespace

std::vector<std::string> verdict(const Comparison& c) {
    std::vector<std::string> out;
    if (!c.values.empty()) out = {stress_sentence(c), scatter_sentence(c), trend_sentence(c)};
    for (const DeviceComparison& d : c.devices) {
        const std::string split = split_sentence(c, d);
        if (!split.empty()) out.push_back(split);
    }
    for (const std::string& sentence : {edge_sentence(c), gradient_sentence(c)})
        if (!sentence.empty()) out.push_back(sentence);
    for (const DeviceComparison& d : c.devices) {
        quality_sentences(d, out);
        if (!d.gas) continue;
        const std::vector<std::string> gas = gas_sentences(*d.gas);
        out.insert(out.end(), gas.begin(), gas.end());
    }
    return out;
}

std::vector<std::string> left_open(const Comparison& c) {
    std::vector<std::string> out;
    if (!c.values.empty()) add_open_film(c, out);
    out.emplace_back(
        "one Q per mode cannot separate the mechanisms of loss; pressure, remounting and several sizes can");
    return out;
}

}  // namespace tymbal
