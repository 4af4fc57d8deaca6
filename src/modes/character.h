// What kind of motion a strip's mode is.
#pragma once

#include "tymbal/modes/modes.h"

#include <string>

namespace tymbal {

/// "flexure n" where the strip's cross-sections move up and down, "torsion n" where they turn, with n half-waves along
/// x; empty where neither has nine tenths of the kinetic energy.
[[nodiscard]] std::string strip_character(const ShapeRaster& shape);

}  // namespace tymbal
