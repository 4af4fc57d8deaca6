// Where a spectrum stands higher above what explains it so far than noise does.
#pragma once

#include <cstddef>
#include <vector>

namespace tymbal {

struct Bump {
    std::size_t at = 0;
    double excess = 0.0;
    std::size_t width = 1;  ///< points of the mean it was found with
    double limit = 0.0;     ///< what noise alone does not exceed
};

/// Highest point of each stretch that stands above the threshold in one of the moving means, the most significant
/// first.
/// @param averages  of the noise, whose gamma variable gives the threshold
[[nodiscard]] std::vector<Bump> bumps(const std::vector<double>& power, const std::vector<double>& model,
                                      double averages);

}  // namespace tymbal
