// Everything, in pipeline order: the table of contents.
#pragma once

#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"
#include "tymbal/base/material.h"
#include "tymbal/base/nearest.h"
#include "tymbal/base/parse_quantity.h"
#include "tymbal/base/quantity.h"
#include "tymbal/base/sourced.h"
#include "tymbal/base/warning.h"

#include "tymbal/geometry/boundary.h"
#include "tymbal/geometry/holes.h"
#include "tymbal/geometry/lattice.h"
#include "tymbal/geometry/outline.h"
#include "tymbal/geometry/overlap.h"

#include "tymbal/grid/eigenpairs.h"
#include "tymbal/grid/grid.h"
#include "tymbal/grid/operators.h"
#include "tymbal/grid/refine.h"

#include "tymbal/film/film.h"
#include "tymbal/film/film_map.h"
#include "tymbal/film/prestress.h"
#include "tymbal/film/thermal_stress.h"
#include "tymbal/film/unit_cell.h"

#include "tymbal/modes/edge_layer.h"
#include "tymbal/modes/find_modes.h"
#include "tymbal/modes/labels.h"
#include "tymbal/modes/modes.h"

#include "tymbal/quality/budget.h"
#include "tymbal/quality/gas.h"
#include "tymbal/quality/material_loss.h"
#include "tymbal/quality/radiation.h"
#include "tymbal/quality/thermoelastic.h"

#include "tymbal/optomechanics/readout.h"
#include "tymbal/optomechanics/slab.h"

#include "tymbal/release/hole_sizes.h"

#include "tymbal/fit/assign.h"
#include "tymbal/fit/film_fit.h"
#include "tymbal/fit/find_peaks.h"
#include "tymbal/fit/line_model.h"
#include "tymbal/fit/measured.h"
#include "tymbal/fit/ringdown.h"

#include "tymbal/task/compare.h"
#include "tymbal/task/design.h"
#include "tymbal/task/predict.h"
#include "tymbal/task/predicted_lines.h"
#include "tymbal/task/solve.h"

#include "tymbal/files/design_keys.h"
#include "tymbal/files/read_design.h"
#include "tymbal/files/read_materials.h"
#include "tymbal/files/read_measured.h"
#include "tymbal/files/write_compare.h"
#include "tymbal/files/write_json.h"
#include "tymbal/files/write_table.h"
