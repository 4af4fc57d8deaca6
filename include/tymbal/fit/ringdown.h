// Decay of a mode after the drive has gone: P(t) = P0 exp(-2 pi f t/Q) + floor in power.
#pragma once

#include "tymbal/fit/measured.h"

namespace tymbal {

struct Ringdown {
    double rate = 0.0;       ///< of the energy, 1/s: 2 pi f/Q (an amplitude falls at half of it)
    double deviation = 0.0;  ///< of the rate, one sigma
    double quality = 0.0, quality_deviation = 0.0;
    double floor = 0.0;     ///< of noise, over the first power fitted
    double left_out = 0.0;  ///< s at the start, where the decay is not yet exponential
    double folds = 0.0;     ///< e-folds of power that the fit spans above the floor
    double start = 0.0;     ///< power of the decay where the fit begins, without the floor, in the unit of the file

    [[nodiscard]] double amplitude_time_s() const { return 2.0 / rate; }
    [[nodiscard]] double energy_time_s() const { return 1.0 / rate; }
    [[nodiscard]] double decay_db_per_s() const;
    /// Full width at half maximum of power.
    [[nodiscard]] double linewidth_hz() const;
};

/// Weighted least squares with weights of a signal in Gaussian noise, 2 S B + B^2 (S the decay, B the floor), and
/// errors from the residuals themselves (White, Econometrica 48, 817 (1980), from memory). The start is cut until the
/// rate no longer changes when more is cut.
/// @throws NoAnswer  fewer than 16 points, no decay of at least half an e-fold above the noise, or no frequency
[[nodiscard]] Ringdown fit_ringdown(const Decay& decay);

}  // namespace tymbal
