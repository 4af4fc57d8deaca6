// A quick look: all solved mode shapes as one picture.
#pragma once

#include "tymbal/task/report.h"

#include <ostream>

namespace tymbal {

/// SVG, four shapes in a row, with labels, frequencies, nodal lines and the readout spot.
void write_quick_look(std::ostream& out, const Device& device, const DesignDrawing& drawing,
                      const Prediction& prediction);

}  // namespace tymbal
