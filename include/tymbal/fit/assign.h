// Which measured peak is which mode, when the film is off by much, peaks are missing and others do not belong.
//
// Every peak is either foreign or one predicted line; every line is seen at most once. A matching's probability is
// prod over pairs P_k/(1-P_k) N(ln f; line, errors)/rho, times prod over lines in the band (1-P_k): P_k the chance to
// see line k, rho the density of foreign peaks, half of all. A raster over stress and tilt finds candidates; for each
// the best matching (dynamic programming: pairs never cross) and the film that fits it are found in turn, and the
// candidates are weighed by their evidence. [derived]
#pragma once

#include "tymbal/fit/film_fit.h"
#include "tymbal/fit/measured.h"

#include <array>
#include <vector>

namespace tymbal {

/// How far the film may be from the design.
struct AssignReach {
    double stress = 0.65;  ///< of ln(stress): +-40 % in stress together with +-5 % in size
    double tilt = 0.12;    ///< of (s_x - s_y)/(s_x + s_y), unequal sides included
    double size = 0.03;    ///< relative sigma to which the sizes are loosened; not of several devices together
    double growth = 0.25;  ///< of ln f, by edges that lie elsewhere, of the device that feels it most; only of several
};

struct Pairing {
    std::size_t peak = 0;     ///< position in the list of peaks
    std::size_t line = 0;     ///< position in LineModel::lines
    double confidence = 0.0;  ///< chance that the peak is this line or the other of its near-degenerate pair
    double alone = 0.0;       ///< chance that it is this line and not the other of the pair
};

struct Assignment {
    std::vector<Pairing> pairs;  ///< by peak, confidence above one half
    double certainty = 0.0;      ///< chance that these peaks hold the membrane's modes at all
    double rival = 0.0;          ///< weight of the best assignment with another film, 0 to 1
    Shift shift;                 ///< of the film that goes with it, sizes loosened
};

/// @param peaks  by rising frequency
[[nodiscard]] Assignment assign(const std::vector<Peak>& peaks, const LineModel& model, const AssignReach& reach);

/// Peaks of one device, by rising frequency and not empty, and its lines; both referred to.
struct DeviceLines {
    const std::vector<Peak>& peaks;
    const LineModel& model;
};

/// Names for devices that share film and over-etch, few peaks each: one evidence for all of them, sizes as designed. A
/// list of one or two peaks counts as chosen by someone who saw more: a foreign peak may lie anywhere.
[[nodiscard]] std::vector<Assignment> assign_together(const std::vector<DeviceLines>& devices,
                                                      const AssignReach& reach);

/// One-to-one pairs (peak, line) that maximise the summed gain, order kept; `gain` has a row per peak and a column per
/// line, both by rising frequency; pairs of negative gain are not made.
[[nodiscard]] std::vector<std::array<std::size_t, 2>> best_matching(const Eigen::MatrixXd& gain);

/// Chance of every pair when all matchings that keep the order are weighed by exp(sum of gains).
[[nodiscard]] Eigen::MatrixXd pair_chances(const Eigen::MatrixXd& gain);

}  // namespace tymbal
