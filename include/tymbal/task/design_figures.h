// The figures by which designs are compared: a few numbers of a prediction, in one row.
#pragma once

#include "tymbal/task/predict.h"

#include <optional>
#include <string>
#include <vector>

namespace tymbal {

/// What the wet etch has to say; empty figures are not known: without holes, undercut or
/// rates.
struct ReleaseFigures {
    std::optional<double> release_time_s;
    std::optional<double> film_loss_m;
    std::optional<double> over_etch_m;  ///< undercut beyond the one that clears the last oxide
};

struct ModeFigure {
    std::string label;
    double frequency_hz = 0.0;
    double frequency_std_hz = 0.0;  ///< 0 when no input states a deviation
    double discretisation_error_hz = 0.0;
    QualityBand quality;
    std::string limited_by;
    bool rough = false;  ///< the limiting loss is an order of magnitude only
    double qf_hz = 0.0;
    std::optional<double> single_photon_coupling_hz;    ///< with a cavity
    std::optional<double> single_photon_cooperativity;  ///< with a cavity
};

struct DesignFigures {
    std::optional<double> fill_factor;
    long hole_count = 0;
    double stress_relaxed_mean_pa = 0.0;
    double stress_peak_von_mises_pa = 0.0;
    double fracture_margin = 0.0;
    std::optional<double> ligament_m;
    std::optional<double> static_stiffness_n_per_m;
    double mass_kg = 0.0;
    std::optional<double> reflectivity;
    std::optional<double> chance_to_reflect;  ///< where limits.least_chance_to_reflect asks
    ReleaseFigures release;
    std::optional<double> collapse_margin;  ///< where limits.least_collapse_margin asks
    std::vector<ModeFigure> modes;
    std::size_t target = 0;                   ///< place in `modes` of the one [target] names, else the lowest
    std::vector<Contribution> contributions;  ///< to the target mode's uncertainty
    std::vector<std::string> warnings;        ///< their codes
};

[[nodiscard]] ReleaseFigures release_figures(const Device& device);

/// Predicts the design and picks its figures. @throws NoAnswer like predict
[[nodiscard]] DesignFigures design_figures(const Device& device, const Materials& materials, const Effort& effort);

}  // namespace tymbal
