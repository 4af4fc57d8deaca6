// Student's t: how much wider an interval is when its scatter was estimated from few.
#pragma once

namespace tymbal {

/// Chance that |t| stays within `t` at so many degrees of freedom, by the incomplete beta function (Abramowitz and
/// Stegun, Handbook of Mathematical Functions, 26.7.1 and 26.5.8, from memory). @param t  zero or more
[[nodiscard]] double student_within(double t, double degrees);

/// Half width of the central interval that holds `chance`, in standard errors. @param chance  0 < chance < 1
/// @param degrees  above zero
[[nodiscard]] double student_half_width(double chance, double degrees);

/// The factor that makes of a standard error the half width of the central 68.27 %, which one sigma holds.
[[nodiscard]] double one_sigma_factor(double degrees);

}  // namespace tymbal
