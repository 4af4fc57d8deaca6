#include "apart.h"

#include "printed.h"

#include <cmath>
#include <limits>

namespace tymbal {

namespace {

constexpr const char* alone = "apart";  // the input that lets one device's lines lie where they like
constexpr double at_will = 0.3;         // its prior, of ln f: far more than devices of one film differ by
constexpr double disagrees = 4.0;       // deviations, of the one of many that is oddest

/// Where a device lies in a fit without it, and how likely that fit is.
struct FitWithout {
    Apart apart;
    double log_evidence = 0.0;
};

/// A fit in which the lines of some devices may lie higher or lower together, so that but for their ratios the others
/// alone say what the film is. The scatter is that of the lines that are left.
/// @param without  positions; Apart is that of the first
FitWithout fit_without(const std::vector<Work>& works, const std::vector<Datum>& data, const FoundFilm& found,
                       const std::vector<std::size_t>& without) {
    std::vector<LineModel> freed;
    std::vector<const LineModel*> models = models_of(works);
    for (const std::size_t d : without) {
        freed.push_back(works[d].lines);
        freed.back().inputs.push_back({alone, 1.0, at_will, Axis::none, Sharing::none});
        for (Line& line : freed.back().lines) line.weights.push_back(1.0);
    }
    for (std::size_t k = 0; k < without.size(); ++k) models[without[k]] = &freed[k];
    const FilmFit fit = fit_film(models, data, found.freedom);
    for (const FittedParameter& p : fit.parameters)
        if (p.name == alone && p.device == without.front()) return {{p.shift, p.deviation}, fit.log_evidence};
    return {};
}

double sigmas(const Apart& apart) {
    return apart.deviation > 0.0 ? std::abs(apart.value) / apart.deviation : 0.0;
}

std::string label(const DeviceComparison& device) {
    return device.name.empty() ? device.measured.file : "device " + device.name;
}

}  // namespace

void add_apart(const std::vector<Work>& works, const FoundFilm& found, Comparison& out) {
    if (works.size() < 3) return;
    const std::vector<Datum> data = data_of(works);
    std::size_t oddest = 0;
    double best = -std::numeric_limits<double>::infinity();
    for (std::size_t d = 0; d < works.size(); ++d) {
        const FitWithout fit = fit_without(works, data, found, {d});
        out.devices[d].apart = fit.apart;
        if (fit.log_evidence <= best) continue;
        best = fit.log_evidence;
        oddest = d;
    }
    const DeviceComparison& device = out.devices[oddest];
    if (sigmas(*device.apart) < disagrees) return;
    out.warnings.push_back(
        {"device-disagrees",
         label(device) + printed(" rings %.2g %% %s than the others say (%.1f sigmas): its film, undercut or size is "
                                 "another one, or its lines are named wrong; look at it, or fit without it",
                                 100.0 * std::abs(std::expm1(device.apart->value)),
                                 device.apart->value > 0.0 ? "higher" : "lower", sigmas(*device.apart))});
    for (std::size_t d = 0; d < works.size(); ++d)  // what it says of the film is no measure for the others
        if (d != oddest) out.devices[d].apart = fit_without(works, data, found, {d, oddest}).apart;
}

}  // namespace tymbal
