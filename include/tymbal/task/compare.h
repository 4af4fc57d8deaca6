// Measured lines against a design: which peak is which mode, what the film is, and whether anything is wrong.
#pragma once

#include "tymbal/fit/film_fit.h"
#include "tymbal/fit/measured.h"
#include "tymbal/task/predict.h"
#include "tymbal/task/progressed.h"

#include <optional>
#include <string>
#include <vector>

namespace tymbal {

struct DeviceInput {
    Design design;
    Measured measured;
};

struct CompareSettings {
    std::optional<int> modes = {};  ///< to be solved; empty: enough for the highest peak
    bool stress_prior = false;      ///< the design's stress counts as known to its deviation, too
};

struct ComparedPeak {
    Peak peak;
    int mode = 0;             ///< index of the mode it is taken for; 0: none
    std::string label;        ///< "(1,2)", or "(1,2) or (2,1)" when a pair cannot be parted
    double confidence = 0.0;  ///< at most one half when it may as well be a harmonic
    double fitted_hz = 0.0;
    double residual = 0.0;              ///< ln(measured/fitted)
    std::optional<QualityBand> budget;  ///< Q as predicted for the fitted film
    std::string limited_by;             ///< term of the budget that sets it, as in LossBudget
    std::string remark;                 ///< likely reason of a foreign peak, doubt about a named one
};

/// A mode within the measured band without a peak.
struct UnseenMode {
    int mode = 0;
    std::string label;
    double expected_hz = 0.0;
    std::string reason;
};

struct DeviceComparison {
    std::string title, sha256, design_file;
    Measured measured;
    std::vector<ComparedPeak> peaks;
    std::vector<UnseenMode> unseen;
    double certainty = 0.0;  ///< chance that these peaks hold the device's modes at all
    double rival = 0.0;      ///< weight of the best other assignment
    Prediction prediction;   ///< of the design with the fitted stress
};

/// An input of the designs before and after.
struct FittedValue {
    std::string name;  ///< design key; "film.tilt": (s_x - s_y)/(s_x + s_y); "outline.growth": m per edge
    std::string unit;  ///< SI; "1" for ratios
    double designed = 0.0, fitted = 0.0;
    double deviation = 0.0;            ///< one sigma of `fitted`
    std::optional<double> prior = {};  ///< one sigma of `designed`; empty: left to the data
    double correlation_with_stress = 0.0;
};

struct Comparison {
    std::vector<DeviceComparison> devices;
    FilmFit fit;                           ///< about the fitted stress, not the design's
    std::vector<FittedValue> values;       ///< "film.stress" first
    double stress_alone_pa = 0.0;          ///< when every other input of the first design is taken as it stands there
    double temperature_k = 0.0;            ///< at which the film has the fitted stress
    double group_deviation = 0.0;          ///< relative, one sigma of stress/(density size^2): what the lines fix
    std::vector<std::string> verdict;      ///< what was found, a sentence or two each
    std::vector<std::string> cannot_tell;  ///< what the data leave open
    Warnings warnings;
};

/// @throws NoAnswer  the peaks do not tell which modes they are, or the design has no modes
[[nodiscard]] Comparison compare(const std::vector<DeviceInput>& devices, const Materials& materials,
                                 const CompareSettings& settings, const Progressed& progressed = {});

}  // namespace tymbal
