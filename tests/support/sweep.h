// Random plain films with an exact answer, to see whether the reported errors tell the truth.
#pragma once

#include "tymbal/modes/find_modes.h"

#include <cstdint>
#include <string>
#include <vector>

namespace tymbal::sweep {

struct Case {
    std::string shape;  ///< "rectangle", "disc" or "ring"
    ModeProblem problem;
};

/// Rectangles, discs and rings by turns; thickness 10 nm to 2 um and size 20 um to 5 mm log-uniform, stress 1 MPa to
/// 1.5 GPa log-uniform or (one in seven) zero, aspect ratio 1 to 4, ring ratio 0.1 to 0.8; E = 250 GPa, nu = 0.23,
/// 3100 kg/m^3, six modes at 1e-3. The same seed gives the same cases everywhere.
[[nodiscard]] std::vector<Case> cases(std::uint64_t seed, int count);

/// Exact frequencies, Hz; relative accuracy 1e-10 for discs and rings, 1e-6 for rectangles (see support/exact_modes.h).
[[nodiscard]] std::vector<double> exact_frequencies(const ModeProblem& problem);

/// One mode of one case; errors relative to the exact frequency.
struct Pair {
    std::size_t number = 0;  ///< of the case
    std::string shape;
    RimTreatment rim = RimTreatment::thin_layer;
    double actual = 0.0;
    double reported = 0.0;
};

[[nodiscard]] std::vector<Pair> compare(const std::vector<Case>& all);

/// Part of the pairs whose actual error is at most the reported one.
[[nodiscard]] double covered_share(const std::vector<Pair>& pairs);
/// Quantile q of reported/actual; an actual error below the exact value's own accuracy counts as that accuracy.
[[nodiscard]] double ratio_quantile(const std::vector<Pair>& pairs, double q);

}  // namespace tymbal::sweep
