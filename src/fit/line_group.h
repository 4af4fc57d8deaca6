// Lines of a spectrum that overlap are fitted together, on the stretch of the spectrum around them.
#pragma once

#include "line_fit.h"

#include "tymbal/fit/find_peaks.h"

#include <array>
#include <cstddef>
#include <vector>

namespace tymbal {

/// Everything one search for lines keeps.
struct Search {
    const Spectrum& spectrum;
    std::size_t block = 0;      ///< points of a block of the background
    std::vector<double> floor;  ///< background of noise, mean
    std::vector<double> model;  ///< background and all lines so far
    double averages = 1.0;
    double resolution = 0.0;
    double least = 0.0;  ///< lowest point of the first background
    bool bent = false;   ///< by more than noise, somewhere: coarser backgrounds differ
    std::vector<Oscillator> lines;
    std::vector<std::array<double, 3>> deviations;  ///< frequency, width, height
};

/// Numbers of lines of a search that are fitted together; one more than it has is a line to come.
using Group = std::vector<std::size_t>;

constexpr std::size_t most_together = 4;  ///< lines that one fit tells apart

[[nodiscard]] bool overlap(const Oscillator& a, const Oscillator& b);

/// A line and those that overlap it.
[[nodiscard]] Group group_of(const Search& s, std::size_t k);

/// A stretch of the spectrum around a group of lines, with the background and all lines but the group's.
struct Stretch {
    Eigen::VectorXd hz, power, floor;
    double averages = 1.0;
};

/// @param most  points, means of neighbours where there are more
[[nodiscard]] Stretch stretch_around(const Search& s, const Group& group, const std::vector<Oscillator>& lines,
                                     std::size_t most = 2000);

[[nodiscard]] LineFit fit_on(const Stretch& stretch, const Group& group, const std::vector<Oscillator>& lines);

/// The group's other lines, fitted without that one.
[[nodiscard]] LineFit fit_without(std::size_t k, const Stretch& stretch, Group group,
                                  const std::vector<Oscillator>& lines);

/// Are the lines of a fit narrower than the spectrum, no hump of the background, and known to half a width?
[[nodiscard]] bool sensible(const Search& s, const LineFit& fit);

/// Takes the fitted group over into the search.
void take(Search& s, const Group& group, const LineFit& fit);

void drop(Search& s, std::size_t k);

[[nodiscard]] bool is_finest(const Search& s);

/// Is the line wider than what the spectrum resolves?
[[nodiscard]] bool is_resolved(const Search& s, const Oscillator& line);

/// Distance of the points there, Hz.
[[nodiscard]] double spacing_near(const Spectrum& s, double hz);

}  // namespace tymbal
