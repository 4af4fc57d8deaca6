// One figure of several chips: its mean, what it scatters within and between chips, and what the next chip will have.
#pragma once

#include <cstdint>
#include <vector>

namespace tymbal {

/// One measurement on one chip.
struct PooledValue {
    double value = 0.0;
    double deviation = 0.0;   ///< of the measurement, one sigma; 0: not stated
    double shared = 0.0;      ///< the part of it that all values from `source` have in common
    std::int64_t source = 0;  ///< any number
};

/// Values chip by chip.
using Chips = std::vector<std::vector<PooledValue>>;

/// Values in the unit of what was given.
struct Pooled {
    double mean = 0.0;
    double mean_std = 0.0;  ///< of the mean, as Student-t has it: the half width that holds 68.27 %
    double between = 0.0;   ///< standard deviation from chip to chip
    double within = 0.0;    ///< of one value on a chip, measurement included
    double next_std = 0.0;  ///< of the next chip's own value about `mean`, likewise by Student-t
    int chips = 0, values = 0;
    int degrees = 0;             ///< of freedom behind mean_std and next_std; 0: one chip, its own scatter is unknown
    bool scatter_given = false;  ///< one chip: `between` is what the caller said

    /// Unknown of one chip of which nobody said it, and of several that all have the same value and state no deviation.
    [[nodiscard]] bool scatter_known() const { return degrees > 0 ? next_std > 0.0 : scatter_given; }
};

/// Random effects: value = mean + chip + rest. Scatter within chips by analysis of variance (Searle, Casella and
/// McCulloch, Variance Components, 1992, from memory), not below what the measurements state; between chips by the
/// moment estimate of Paule and Mandel (J. Res. Natl. Bur. Stand. 87, 377, 1982; DerSimonian and Kacker, Contemp. Clin.
/// Trials 28, 105, 2007; both from memory). Chips weigh by both scatters; intervals are Student's with one degree of
/// freedom less than chips (Hartung and Knapp, Stat. Med. 20, 1771, 2001, from memory), for the next chip with fewer
/// where scatter within chips hides that between them (Satterthwaite, Biometrics Bull. 2, 110, 1946, from memory).
/// A deviation that is not stated is taken to be the root mean square of those that are.
/// @param chips  each with at least one value; at least one chip
/// @param given_scatter  stands for the scatter between chips where there is only one; below zero: not known
[[nodiscard]] Pooled pool(const Chips& chips, double given_scatter = -1.0);

/// What next_std would be, on the average, with so many more chips like those. @param chip_mean_variance  see below
[[nodiscard]] double next_with(const Pooled& now, double chip_mean_variance, int more_chips);

/// Each chip's own mean with its deviation, as pool() takes them.
[[nodiscard]] std::vector<PooledValue> chip_means(const Chips& chips);

/// The mean variance of a chip's own mean, as pool() takes it, or as it would be with so many times the values.
[[nodiscard]] double chip_mean_variance(const Chips& chips, double times = 1.0);

}  // namespace tymbal
