#include "measured_gas.h"

#include "printed.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

constexpr double matters = 0.1;  // of the measured loss: less than this a sweep of pressure hardly shows

/// Q at a pressure `times` lower when gas makes `share` of the loss now and nothing else depends on the pressure.
double quality_at(double quality, double share, double times) {
    return quality / (1.0 - share + share / times);
}

/// Three pressures down to where gas would make a tenth of the measured loss, at least a decade.
void plan_sweep(MeasuredGas& gas) {
    gas.quiet_pa = matters * gas.pressure_pa / gas.share.value;
    const double most = std::max(10.0, gas.pressure_pa / gas.quiet_pa);
    for (const double times : {1.0, std::sqrt(most), most}) {
        gas.sweep_pa.push_back(gas.pressure_pa / times);
        gas.sweep_quality.push_back(quality_at(gas.measured, std::min(gas.share.value, 1.0), times));
    }
}

}  // namespace

std::optional<QualityBand> gas_quality(const LossBudget& budget) {
    QualityBand loss;
    for (const LossTerm& term : budget.terms) {
        if ((term.name != "gas" && term.name != "squeeze_film") || !term.quality) continue;
        loss.value += 1.0 / term.quality->value;
        loss.low += 1.0 / term.quality->low;
        loss.high += 1.0 / term.quality->high;
    }
    if (!(loss.value > 0.0)) return std::nullopt;
    return QualityBand{1.0 / loss.value, 1.0 / loss.low, 1.0 / loss.high};
}

std::optional<MeasuredGas> judge_gas(const Device& design, const DeviceComparison& device) {
    if (!design.surroundings || !(design.surroundings->pressure.si() > 0.0)) return std::nullopt;
    std::optional<MeasuredGas> most;
    for (const ComparedPeak& p : device.peaks) {
        if (p.mode == 0 || !p.peak.quality || p.peak.resolution_limited) continue;
        const auto& losses = device.prediction.modes[static_cast<std::size_t>(p.mode - 1)].losses;
        const std::optional<QualityBand> alone = gas_quality(losses);
        if (!alone) continue;
        const double q = *p.peak.quality;
        if (most && q / alone->value <= most->share.value) continue;
        most = MeasuredGas{p.label,
                           design.surroundings->pressure.si(),
                           q,
                           *alone,
                           {q / alone->value, q / alone->high, q / alone->low},
                           0.0,
                           {},
                           {}};
    }
    if (most) plan_sweep(*most);
    return most;
}

std::vector<std::string> gas_sentences(const MeasuredGas& gas) {
    std::string text = printed("gas at %.2g mbar alone leaves ", 0.01 * gas.pressure_pa);
    text.append(gas.label).append(printed(" a Q of %.2g (%.2g to %.2g); %.2g was measured: ", gas.alone.value,
                                          gas.alone.low, gas.alone.high, gas.measured));
    if (gas.share.low > 1.0)
        text.append(
            "more than gas allows, so the pressure at the film is lower than recorded, or the gas formulas do not hold "
            "here");
    else if (gas.share.high >= 1.0)
        text.append("gas alone explains it");
    else
        text.append(
            printed("gas makes %.2g to %.2g %% of the measured loss", 100.0 * gas.share.low, 100.0 * gas.share.high));
    std::vector<std::string> out{text};
    if (gas.share.high < matters) return out;
    out.push_back(
        printed("what decides: Q of %s at %.2g, %.2g and %.2g mbar. If gas is as computed it rises to %.2g and "
                "%.2g; if it stays, something else sets it. Below %.2g mbar gas makes less than a tenth of the "
                "loss measured now",
                gas.label.c_str(), 0.01 * gas.sweep_pa[0], 0.01 * gas.sweep_pa[1], 0.01 * gas.sweep_pa[2],
                gas.sweep_quality[1], gas.sweep_quality[2], 0.01 * gas.quiet_pa));
    return out;
}

}  // namespace tymbal
