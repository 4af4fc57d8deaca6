// Measured lines against a design: which peak is which mode, what the film is, and whether anything is wrong.
#pragma once

#include "tymbal/fit/film_fit.h"
#include "tymbal/fit/measured.h"
#include "tymbal/fit/ringdown.h"
#include "tymbal/task/predict.h"
#include "tymbal/task/progressed.h"

#include <optional>
#include <string>
#include <vector>

namespace tymbal {

struct DeviceInput {
    Device design;
    Measured measured;
    std::string name = {};  ///< on its chip; empty: a design of its own
    Point position = {};    ///< on its chip, from the chip's centre
};

struct CompareSettings {
    std::optional<int> modes = {};  ///< to be solved; empty: enough for the highest peak
    bool stress_prior = false;      ///< the design's stress counts as known to its deviation, too
    unsigned threads = 1;           ///< numbers do not depend on it
    SolveEffort large = {};         ///< of each device
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

/// Splitting of degenerate pairs: unequal stress and unequal sides do it by the same law.
struct Split {
    double stress = 0.0;     ///< (s_x - s_y)/s that explains it alone; minus half of it, (width - height)/side
    double deviation = 0.0;  ///< one sigma
};

/// A key of a device's design with the value that makes the design predict the fitted lines.
struct WrittenValue {
    std::string key;
    double value = 0.0;  ///< SI
    double deviation = 0.0;
    std::optional<double> second = {};  ///< of a key that is a pair
};

/// Gas held against the measured Q of the mode that it touches most.
struct MeasuredGas {
    std::string label;
    double pressure_pa = 0.0;                     ///< recorded with the measurement, else the design's
    double measured = 0.0;                        ///< Q
    QualityBand alone;                            ///< Q that gas alone leaves
    QualityBand share;                            ///< of the measured loss; above 1: more than was measured
    double quiet_pa = 0.0;                        ///< below this gas makes less than a tenth of the loss measured now
    std::vector<double> sweep_pa, sweep_quality;  ///< pressures that decide, and Q there if gas is as computed
};

/// Where a device's lines lie against what all others say, of ln f.
struct Apart {
    double value = 0.0;
    double deviation = 0.0;  ///< one sigma, of this device's lines and of what the others leave open
};

struct DeviceComparison {
    std::string name;  ///< on its chip; empty: a design of its own
    std::string title, sha256, design_file;
    Measured measured;
    std::vector<ComparedPeak> peaks;
    std::vector<UnseenMode> unseen;
    double certainty = 0.0;             ///< chance that these peaks hold the device's modes at all
    double rival = 0.0;                 ///< weight of the best other assignment
    PredictedModes prediction;          ///< of the design moved to the fitted film
    std::optional<MeasuredGas> gas;     ///< needs a measured Q and a gas
    std::optional<Split> split;         ///< of rectangles whose pairs the fit lets split
    std::vector<WrittenValue> written;  ///< when every other input is taken as it stands in the design
    double over_etch_m = 0.0;           ///< of edges that no key of the design moves (polygons)
    std::optional<Apart> apart;         ///< of three devices or more
};

/// A decay and how hard the mode was driven at its start.
struct ComparedRingdown {
    Ringdown decay;
    double frequency_hz = 0.0;
    std::optional<double> amplitude_m;  ///< at the antinode, where the fit begins; needs a file in metres
    std::optional<double> ceiling_m;    ///< moves the line by half its width (stretching); needs the mode's name
};

/// An input of the designs before and after. What several devices share has the first one's value.
struct FittedValue {
    std::string name;  ///< design key; "film.tilt": (s_x - s_y)/(s_x + s_y); "outline.growth": m per edge
    std::string unit;  ///< SI; "1" for ratios
    double designed = 0.0, fitted = 0.0;
    double deviation = 0.0;            ///< one sigma of `fitted`
    std::optional<double> prior = {};  ///< one sigma of `designed`; empty: left to the data
    double correlation_with_stress = 0.0;
    std::optional<std::size_t> device = {};  ///< the first it belongs to, from 0; empty: shared by all
};

/// Name of a value, "@2" behind it when it belongs to the second device.
[[nodiscard]] std::string full_name(const FittedValue& value);

struct Comparison {
    std::vector<DeviceComparison> devices;
    std::optional<ComparedRingdown> ringdown = {};
    FilmFit fit;                           ///< about the fitted film, where the designs were solved again
    std::vector<FittedValue> values;       ///< "film.stress" first
    double stress_alone_pa = 0.0;          ///< when every other input of the first design is taken as it stands there
    double temperature_k = 0.0;            ///< at which the film has the fitted stress
    double group_deviation = 0.0;          ///< relative, one sigma of stress/(density size^2): what the lines fix
    std::vector<std::string> verdict;      ///< what was found, a sentence or two each
    std::vector<std::string> cannot_tell;  ///< what the data leave open
    Warnings warnings;
};

/// Devices are solved, named and fitted again at the film that was found until the fit settles. A device alone needs
/// three named peaks; of several, each may have as few as one. Of four devices or more on a chip the stress may rise
/// over it, where the lines ask for that.
/// @throws NoAnswer  the peaks do not tell which modes they are, or the design has no modes
[[nodiscard]] Comparison compare(const std::vector<DeviceInput>& devices, const Materials& materials,
                                 const CompareSettings& settings, const Progressed& progressed = {});

}  // namespace tymbal
