// Mode shapes and stress as fields on a raster, for viewers and scripts.
#pragma once

#include "tymbal/task/predict.h"
#include "tymbal/task/stress_map.h"

#include <ostream>
#include <string>
#include <vector>

namespace tymbal {

/// VTK XML image data (extension .vti; The VTK User's Guide, "VTK File Formats"), numbers as 64-bit floats in base64,
/// little-endian. One point array per mode, `mode_1` and so on: displacement over its largest, 0 outside the outline,
/// NaN in openings inside it. Lengths in metres.
void write_modes_vtk(std::ostream& out, const Prediction& prediction);

/// The same for the stress, one value per cell, NaN outside and in cells with too little film: `stress_mean_pa` (xx,
/// yy, xy: tension over thickness, open area counted in) and `stress_largest_pa`, see StressMap.
void write_stress_vtk(std::ostream& out, const StressMap& map);

/// One row per point of the raster that is not in an opening: x_m, y_m, mode_1, ...
void write_modes_csv(std::ostream& out, const Prediction& prediction);

/// One row per cell with film: x_m, y_m, stress_xx_pa, stress_yy_pa, stress_xy_pa, stress_largest_pa
void write_stress_csv(std::ostream& out, const StressMap& map);

/// What write_fields leaves in its folder: modes.vti, stress.vti and, when asked for, modes.csv and stress.csv.
[[nodiscard]] std::vector<const char*> field_files(bool with_csv);

/// All of it into a folder, which is made when it is not there. @throws InputError when folder or files cannot be
/// written
void write_fields(const std::string& folder, const Prediction& prediction, const StressMap& map, bool with_csv);

}  // namespace tymbal
