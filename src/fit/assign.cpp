#include "tymbal/fit/assign.h"

#include "hypotheses.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

using Eigen::Index;
using Eigen::VectorXd;

constexpr double least_pull = 0.7;    // share of tension from which a film counts as a membrane
constexpr double plate_reach = 0.12;  // of ln f: +-5 % in size where bending dominates
constexpr double stress_prior = 0.3;  // of ln(stress), while searching
constexpr double tilt_prior = 0.05;
constexpr double growth_prior = 2e-6;  // m, as in a fit

/// All outline sizes grown together by ln(factor), such that ln f moves by `log_f`.
VectorXd sizes_for(const LineModel& model, double log_f) {
    VectorXd unit = VectorXd::Zero(static_cast<Index>(model.inputs.size()));
    for (std::size_t j = 0; j < model.inputs.size(); ++j)
        if (model.inputs[j].name.rfind("outline.", 0) == 0) unit[static_cast<Index>(j)] = 1.0;
    constexpr double step = 1e-4;
    const VectorXd moved = log_frequencies(model, {0.0, 0.0, 0.0, step * unit});
    const double slope = (moved - log_frequencies(model, {})).mean() / step;
    return slope == 0.0 ? VectorXd::Zero(unit.size()) : VectorXd(unit * (log_f / slope));
}

double mean_pull(const LineModel& model) {
    double pull = 0.0;
    for (const Line& line : model.lines) pull += line.pull / static_cast<double>(model.lines.size());
    return pull;
}

int steps_to(double far, double step) {
    return static_cast<int>(std::ceil(far / step));
}

/// Raster over stress and tilt. Under tension a size does what a stress does; a plate that bends needs the size, too.
std::vector<FilmGuess> raster(const Scene& s, const AssignReach& reach) {
    const double pull = mean_pull(s.model);
    const bool membrane = pull > least_pull;
    const double stress_step = membrane ? 2.0 * raster_step / pull : 0.15, tilt_step = 3.0 * raster_step;
    const int stresses = steps_to(reach.stress, stress_step), tilts = steps_to(reach.tilt, tilt_step);
    const int sizes = membrane ? 0 : steps_to(plate_reach, raster_step);
    std::vector<FilmGuess> all;
    for (int k = -sizes; k <= sizes; ++k) {
        const VectorXd inputs = sizes == 0 ? VectorXd() : sizes_for(s.model, k * raster_step);
        for (int j = -tilts; j <= tilts; ++j)
            for (int i = -stresses; i <= stresses; ++i) {
                const Shift shift{i * stress_step, j * tilt_step, 0.0, inputs};
                const double prior = std::pow(shift.stress / stress_prior, 2) + std::pow(shift.tilt / tilt_prior, 2);
                all.push_back({{shift},
                               {1.0 * i, 1.0 * j, 1.0 * k},
                               raster_score(s, log_frequencies(s.model, shift)) - 0.5 * prior});
            }
    }
    return all;
}

/// Raster over stress and growth, which all devices share. Steps follow the device that growth moves most.
std::vector<FilmGuess> shared_raster(const std::vector<Scene>& scenes, const AssignReach& reach) {
    double pull = 1.0, slope = 0.0;
    for (const Scene& s : scenes) {
        pull = std::min(pull, std::max(mean_pull(s.model), 0.1));
        for (const Line& line : s.model.lines) slope = std::max(slope, std::abs(line.growth));
    }
    const double stress_step = 2.0 * raster_step / pull, growth_step = slope > 0.0 ? raster_step / slope : 1.0;
    const int stresses = steps_to(reach.stress, stress_step);
    const int growths = slope > 0.0 ? steps_to(reach.growth, raster_step) : 0;
    std::vector<FilmGuess> all;
    for (int j = -growths; j <= growths; ++j)
        for (int i = -stresses; i <= stresses; ++i) {
            const Shift shift{i * stress_step, 0.0, j * growth_step, {}};
            double score =
                -0.5 * (std::pow(shift.stress / stress_prior, 2) + std::pow(shift.growth_m / growth_prior, 2));
            for (const Scene& s : scenes) score += raster_score(s, log_frequencies(s.model, shift));
            all.push_back({std::vector<Shift>(scenes.size(), shift), {1.0 * i, 1.0 * j, 0.0}, score});
        }
    return all;
}

}  // namespace

Assignment assign(const std::vector<Peak>& peaks, const LineModel& model, const AssignReach& reach) {
    if (peaks.empty() || model.lines.empty()) return {};
    const std::vector<Scene> scenes{set_scene(peaks, model)};
    FitFreedom freedom;
    freedom.stress_deviation = stress_prior;
    freedom.tilt = true;
    freedom.least_size_deviation = reach.size;
    return weigh_films(scenes, best_apart(raster(scenes.front(), reach)), freedom).front();
}

std::vector<Assignment> assign_together(const std::vector<DeviceLines>& devices, const AssignReach& reach) {
    std::vector<Scene> scenes;
    for (const DeviceLines& device : devices) scenes.push_back(set_scene(device.peaks, device.model));
    FitFreedom freedom;
    freedom.stress_deviation = stress_prior;
    freedom.growth = true;
    return weigh_films(scenes, best_apart(shared_raster(scenes, reach)), freedom);
}

}  // namespace tymbal
