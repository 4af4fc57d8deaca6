// A drawing as a GDSII stream file: what mask writers and layout programs read.
#pragma once

#include "tymbal/pattern/drawing.h"

#include <ostream>

namespace tymbal {

/// Cells stay cells and arrays stay arrays. The user unit is 1 um; dates are zero, so that the same drawing gives the
/// same bytes.
void write_gdsii(std::ostream& out, const Drawing& drawing);

}  // namespace tymbal
