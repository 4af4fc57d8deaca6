// Lines of a spectrum over a background of one coarseness: found, fitted, and fitted again as the background is
// renewed.
#pragma once

#include "line_fit.h"

#include "tymbal/fit/find_peaks.h"

#include <array>
#include <cstddef>
#include <vector>

namespace tymbal {

/// Everything one search keeps.
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

/// All lines over a background of blocks of `block` points, `most` of them at most. `spectrum` must outlive the result.
[[nodiscard]] Search search(const Spectrum& spectrum, std::size_t block, double averages, std::size_t most);

/// Every line again, with those it overlaps, on the present background; then the background.
void refit(Search& s);

/// Lines and background by turns until both stand still, lines without which the others do as well left out.
void settle(Search& s);

[[nodiscard]] bool is_finest(const Search& s);

/// Is the line wider than what the spectrum resolves?
[[nodiscard]] bool is_resolved(const Search& s, const Oscillator& line);

/// Distance of the points there, Hz.
[[nodiscard]] double spacing_near(const Spectrum& s, double hz);

}  // namespace tymbal
