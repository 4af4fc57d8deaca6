#include "device_report.h"

#include "measured_gas.h"
#include "printed.h"
#include "remarks.h"
#include "verdict.h"

#include "tymbal/base/constants.h"
#include "tymbal/measurement/duffing.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

std::string pair_label(const LineModel& lines, const Pairing& pair) {
    const Line& line = lines.lines[pair.line];
    if (line.twin < 0 || pair.alone > 0.9 * pair.confidence) return line.label;
    const std::string& other = lines.lines[static_cast<std::size_t>(line.twin)].label;
    return other == line.label ? line.label : line.label + " or " + other;  // a disc's pair has one name
}

/// Chance of every mode to be a line of this frequency, by the prediction's own sigma, against a foreign line anywhere
/// within the modes' range.
std::vector<double> chances_of(const Peak& peak, const std::vector<Mode>& modes) {
    const double span = modes.back().frequency_hz - modes.front().frequency_hz;
    std::vector<double> chances;
    double total = 1.0 / std::max(span, 0.1 * modes.front().frequency_hz);  // foreign
    for (const Mode& mode : modes) {
        const double sigma = std::max(std::hypot(mode.frequency_std_hz, mode.discretisation_error_hz),
                                      1e-3 * mode.frequency_hz);  // devices differ by that much
        const double z = (peak.frequency_hz - mode.frequency_hz) / sigma;
        chances.push_back(std::exp(-0.5 * z * z) / (sigma * std::sqrt(2.0 * constants::pi)));
        total += chances.back();
    }
    for (double& chance : chances) chance /= total;
    return chances;
}

/// How hard the named mode was driven: the spot sees a share of the antinode's amplitude.
ComparedRingdown judge_decay(const Work& work, const DeviceComparison& device) {
    ComparedRingdown out{*work.decay, work.measured.decay.frequency_hz, {}, {}};
    if (work.assignment.pairs.empty()) return out;
    const std::size_t line = work.assignment.pairs.front().line;
    out.ceiling_m = half_width_amplitude_m(duffing(work.solved.set)[line], out.decay.quality);
    if (!work.measured.decay.in_metres) return out;
    const double seen = std::abs(device.prediction.modes[line].figures.spot_overlap.value_or(1.0));
    if (seen > 0.0) out.amplitude_m = std::sqrt(out.decay.start) / seen;
    return out;
}

void warn_drive(const ComparedRingdown& ringdown, Warnings& warnings) {
    if (!ringdown.amplitude_m || !ringdown.ceiling_m || *ringdown.amplitude_m <= *ringdown.ceiling_m) return;
    const std::string text = printed(
        "the decay begins at %.2g nm at the antinode, above the %.2g nm that move the line by half its width "
        "(stretching of the film): its frequency falls while it decays; drive less, or demodulate more widely",
        1e9 * *ringdown.amplitude_m, 1e9 * *ringdown.ceiling_m);
    warnings.push_back({"ringdown-stretching", text});
}

}  // namespace

DeviceComparison report_on(const DeviceInput& input, const Work& work, const Shift& shift, const Materials& materials) {
    DeviceComparison out;
    out.name = input.name;
    out.title = input.design.title;
    out.sha256 = input.design.sha256;
    out.design_file = input.design.file;
    out.measured = work.measured;
    out.certainty = work.assignment.certainty;
    out.rival = work.assignment.rival;
    out.prediction = complete_modes(work.design, materials, work.solved);
    const Eigen::VectorXd logs = log_frequencies(work.lines, shift);
    std::vector<double> fitted_hz;
    for (Eigen::Index k = 0; k < logs.size(); ++k) fitted_hz.push_back(std::exp(logs[k]));
    for (const Peak& peak : work.measured.peaks) {
        out.peaks.emplace_back();
        out.peaks.back().peak = peak;
    }
    for (const Pairing& pair : work.assignment.pairs) {
        ComparedPeak& p = out.peaks[pair.peak];
        p.mode = work.lines.lines[pair.line].index;
        p.label = pair_label(work.lines, pair);
        p.confidence = pair.confidence;
        p.fitted_hz = fitted_hz[pair.line];
        p.residual = std::log(p.peak.frequency_hz / p.fitted_hz);
        p.budget = out.prediction.modes[pair.line].losses.total;
        p.limited_by = out.prediction.modes[pair.line].losses.limited_by;
    }
    add_remarks(input.design, materials, out);
    out.unseen = unseen_modes(out, fitted_hz);
    out.gas = judge_gas(work.design, out);
    return out;
}

void add_gas_warnings(const DeviceComparison& device, Warnings& warnings) {
    for (const Warning& w : device.prediction.warnings)
        if (w.code == "gas-regime" || (w.code.rfind("gas", 0) == 0 && !device.gas)) warnings.push_back(w);
}

Comparison compare_ringdown(const DeviceInput& input, Work& work, const Materials& materials) {
    const Peak peak = work.measured.peaks.front();
    const std::vector<double> chances = chances_of(peak, work.solved.set.modes);
    const auto best = static_cast<std::size_t>(std::max_element(chances.begin(), chances.end()) - chances.begin());
    const int twin = work.lines.lines[best].twin;
    Pairing pairing{0, best, chances[best], chances[best]};
    if (twin >= 0) pairing.confidence += chances[static_cast<std::size_t>(twin)];
    work.assignment.certainty = pairing.confidence;
    if (pairing.confidence > 0.5) work.assignment.pairs = {pairing};
    Comparison out;
    out.temperature_k = input.design.film.temperature.si();
    out.devices.push_back(report_on(input, work, {}, materials));
    DeviceComparison& device = out.devices.front();
    device.unseen.clear();
    add_gas_warnings(device, out.warnings);
    out.ringdown = judge_decay(work, device);
    warn_drive(*out.ringdown, out.warnings);
    if (work.assignment.pairs.empty())
        device.peaks.front().remark =
            "cannot tell which mode this is: the prediction is not sharp enough; compare a list "
            "of peaks first and use its fitted design";
    out.verdict = verdict(out);
    out.cannot_tell = left_open(out);
    return out;
}

}  // namespace tymbal
