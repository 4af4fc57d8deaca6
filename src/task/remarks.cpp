#include "remarks.h"

#include "tymbal/base/constants.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>

namespace tymbal {

namespace {

constexpr double settled = 2.0;          // sigmas within which a ratio counts as exact
constexpr double sharp = 1e-3;           // relative: a ratio known worse than this proves nothing
constexpr double mains_tolerance = 1.0;  // Hz: a coarser line lies near some multiple of the mains anyway

std::string printed(const char* format, double value) {
    std::array<char, 64> text{};
    std::snprintf(text.data(), text.size(), format, value);
    return text.data();
}

std::string hertz(double hz) {
    if (hz >= 1e6) return printed("%.6g MHz", 1e-6 * hz);
    return hz >= 1e3 ? printed("%.6g kHz", 1e-3 * hz) : printed("%.6g Hz", hz);
}

std::string name_of(const ComparedPeak& p) {
    return p.mode > 0 ? p.label : std::string("the peak at ").append(hertz(p.peak.frequency_hz));
}

/// `order` when the peak lies exactly at 2 or 3 times another, within the uncertainty of both; 0 otherwise.
int exact_multiple(const Peak& peak, const Peak& base) {
    if (peak.deviation_hz <= 0.0 || base.deviation_hz <= 0.0) return 0;
    for (const int order : {2, 3}) {
        const double sigma = std::hypot(peak.deviation_hz, order * base.deviation_hz);
        if (sigma > sharp * peak.frequency_hz) continue;
        if (std::abs(peak.frequency_hz - order * base.frequency_hz) <= settled * sigma) return order;
    }
    return 0;
}

/// A foreign peak is a harmonic then; a named one may be either, which halves its confidence.
void judge_harmonic(ComparedPeak& p, const std::vector<ComparedPeak>& all) {
    for (const ComparedPeak& base : all) {
        if (base.mode == 0 || base.peak.frequency_hz >= p.peak.frequency_hz) continue;
        const int order = exact_multiple(p.peak, base.peak);
        if (order == 0) continue;
        const std::string what = std::string(order == 2 ? "twice " : "three times ").append(base.label);
        p.remark = std::string(p.mode > 0 ? "also exactly " : "harmonic: exactly ").append(what);
        p.remark.append(" within the uncertainties");
        if (p.mode == 0) return;
        p.remark.append(": mode or harmonic, compare two drive levels");
        p.confidence = std::min(p.confidence, 0.5);
        return;
    }
}

std::string mains_remark(const Peak& peak, const std::vector<ComparedPeak>& all) {
    if (peak.deviation_hz <= 0.0 || settled * peak.deviation_hz > mains_tolerance) return "";
    const double tolerance = settled * peak.deviation_hz;
    for (const double mains : {50.0, 60.0}) {
        const double multiple = std::round(peak.frequency_hz / mains);
        if (multiple >= 1.0 && std::abs(peak.frequency_hz - multiple * mains) <= tolerance)
            return printed("pick-up: %.0f times the mains' ", multiple).append(printed("%.0f Hz", mains));
    }
    for (const ComparedPeak& base : all)
        for (const double offset : {50.0, 60.0, 100.0, 120.0}) {
            const double apart = std::abs(peak.frequency_hz - base.peak.frequency_hz);
            if (base.mode > 0 && std::abs(apart - offset) <= std::hypot(tolerance, settled * base.peak.deviation_hz))
                return std::string("sideband of ")
                    .append(name_of(base))
                    .append(printed(", %.0f Hz away: mains", offset));
        }
    return "";
}

/// Mean distance of flexural modes of a plate, 2/A sqrt(D/(rho h)), Hz: Weyl's law for k^4 = omega^2 rho h/D [derived].
std::optional<double> chip_spacing(const Device& design, const Materials& materials) {
    if (!design.chip || design.chip->width.si() <= 0.0 || design.chip->length.si() <= 0.0) return std::nullopt;
    const auto found = materials.solids.find(design.chip->material);
    if (found == materials.solids.end()) return std::nullopt;
    const Solid& s = found->second;
    if (!s.youngs_modulus || !s.poisson_ratio || !s.density) return std::nullopt;
    const double h = design.chip->thickness.si(), nu = s.poisson_ratio->si();
    const double bending = s.youngs_modulus->si() * h * h * h / (12.0 * (1.0 - nu * nu));
    return 2.0 / (design.chip->width.si() * design.chip->length.si()) * std::sqrt(bending / (s.density->si() * h));
}

std::string foreign_remark(const Device& design, const Materials& materials, const DeviceComparison& device,
                           const Peak& peak) {
    const auto& modes = device.prediction.modes;
    double most = 0.0, least = 1e300;
    for (const PredictedMode& m : modes) {
        most = std::max(most, m.losses.total.high);
        least = std::min(least, m.losses.total.low);
    }
    if (peak.quality && !peak.resolution_limited && *peak.quality > 3.0 * most)
        return "pick-up? narrower than any mode of this film can be; it would not mind the pressure";
    if (peak.frequency_hz > modes.back().mode.frequency_hz)
        return "above the modes that were solved; ask for more modes";
    std::string text = peak.quality && *peak.quality < 0.1 * least ? "chip or mount mode: too broad for this film"
                                                                   : "no mode of this film: chip, mount or a neighbour";
    if (const auto spacing = chip_spacing(design, materials))
        text.append("; the chip has one about every ").append(hertz(std::stod(printed("%.2g", *spacing))));
    return text;
}

/// A line of the film rises as the drive, its n-th harmonic as the n-th power.
std::string drive_remark(const Peak& peak) {
    if (!peak.drive_order || *peak.drive_order < 1.5) return "";
    return printed("harmonic: its height rises as the drive to the power %.1f", *peak.drive_order);
}

}  // namespace

void add_remarks(const Device& design, const Materials& materials, DeviceComparison& device) {
    for (ComparedPeak& p : device.peaks) {
        p.remark = drive_remark(p.peak);
        if (p.remark.empty() && !p.peak.drive_order) judge_harmonic(p, device.peaks);
        if (p.remark.empty() && p.mode == 0) p.remark = mains_remark(p.peak, device.peaks);
        if (p.remark.empty() && p.mode == 0) p.remark = foreign_remark(design, materials, device, p.peak);
    }
}

std::vector<UnseenMode> unseen_modes(const DeviceComparison& device, const std::vector<double>& fitted_hz) {
    std::vector<UnseenMode> unseen;
    const auto& peaks = device.peaks;
    const double low = 0.999 * peaks.front().peak.frequency_hz, high = 1.001 * peaks.back().peak.frequency_hz;
    for (std::size_t k = 0; k < fitted_hz.size(); ++k) {
        const PredictedMode& m = device.prediction.modes[k];
        const auto is_named = [&](const ComparedPeak& p) { return p.mode == m.mode.index; };
        const double f = fitted_hz[k];
        if (f < low || f > high || std::any_of(peaks.begin(), peaks.end(), is_named)) continue;
        UnseenMode mode{m.mode.index, m.mode.label, f, "missed or too weak"};
        const auto& overlap = m.figures.spot_overlap;
        const bool hidden = std::any_of(peaks.begin(), peaks.end(), [&](const ComparedPeak& p) {
            const double width = p.peak.quality ? p.peak.frequency_hz / *p.peak.quality : 0.0;
            return p.mode > 0 &&
                   std::abs(p.peak.frequency_hz - f) < std::max({width, 3.0 * p.peak.deviation_hz, 3e-4 * f});
        });
        if (overlap && std::abs(*overlap) < 0.1)
            mode.reason = printed("node under the readout spot (it sees %.2g of it)", std::abs(*overlap));
        else if (hidden)
            mode.reason = "may hide in the line of a neighbour";
        unseen.push_back(mode);
    }
    return unseen;
}

}  // namespace tymbal
