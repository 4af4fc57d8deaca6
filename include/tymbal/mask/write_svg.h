// A drawing as an SVG picture to scale: one user unit is 1 um, the page as large as the chip.
#pragma once

#include "tymbal/pattern/drawing.h"

#include <ostream>
#include <string>

namespace tymbal {

/// With a scale bar below; cells stay cells (placed by reference), y points up as on the chip.
void write_svg(std::ostream& out, const Drawing& drawing, const std::string& title);

}  // namespace tymbal
