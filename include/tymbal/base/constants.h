// Constants of nature as the SI fixes them (exact since 2019; BIPM, The International System of Units, 9th ed.).
#pragma once

#include <numbers>

namespace tymbal::constants {

inline constexpr double pi = std::numbers::pi;
inline constexpr double boltzmann_j_per_k = 1.380649e-23;
inline constexpr double planck_j_s = 6.62607015e-34;
inline constexpr double hbar_j_s = planck_j_s / (2.0 * pi);
inline constexpr double light_speed_m_per_s = 299792458.0;
inline constexpr double gas_constant_j_per_mol_k = 8.31446261815324;

}  // namespace tymbal::constants
