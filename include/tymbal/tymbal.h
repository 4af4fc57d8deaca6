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

#include "tymbal/film/cell_memo.h"
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

#include "tymbal/task/design.h"
#include "tymbal/task/named_mode.h"
#include "tymbal/task/predict.h"
#include "tymbal/task/size.h"
#include "tymbal/task/variation.h"

#include "tymbal/files/design_keys.h"
#include "tymbal/files/read_design.h"
#include "tymbal/files/read_materials.h"
#include "tymbal/files/write_json.h"
#include "tymbal/files/write_size.h"
#include "tymbal/files/write_table.h"
