// Level of the noise of a spectrum under its lines, and how much that noise scatters.
#pragma once

#include <cstddef>
#include <vector>

namespace tymbal {

/// Points of a block of the finest background that a spectrum of n points allows.
[[nodiscard]] std::size_t finest_block(std::size_t n);

/// Medians of blocks, then medians of five neighbours, linear between block centres.
[[nodiscard]] std::vector<double> background(const std::vector<double>& power, std::size_t block);

/// The same of what known lines leave: c that halves P/m - lines, weighted by 1/(c + lines), solves median(P/(c +
/// lines)) = m. One block of all points: a straight line through the levels of both halves. [derived]
/// @param model  background so far and lines
/// @param m      median of the noise over its mean
[[nodiscard]] std::vector<double> background_under(const std::vector<double>& power, const std::vector<double>& model,
                                                   const std::vector<double>& lines, double m, std::size_t block);

/// Averages k of the gamma noise, from the quartiles of the logarithm: their distance over 1.349 is 1/sqrt(k) for many
/// averages and 1.165 for one; 1/distance^2 + 0.26 joins the two within 3 % [computed].
[[nodiscard]] double averages_of(const std::vector<double>& power, const std::vector<double>& level);

/// Middle value; reorders.
[[nodiscard]] double median(std::vector<double>& values);

}  // namespace tymbal
