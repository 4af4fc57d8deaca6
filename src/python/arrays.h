// Fields of a result as arrays of numpy that share the library's memory: it lives as long as any array that looks at
// it.
#pragma once

#include "tymbal/light/lines.h"
#include "tymbal/modes/modes.h"
#include "tymbal/task/stress_map.h"

#include <pybind11/pybind11.h>

#include <optional>
#include <vector>

namespace tymbal::python {

/// What a prediction has beside its JSON.
struct Fields {
    std::vector<ShapeRaster> shapes;  ///< of the modes, in their order
    std::optional<StressMap> stress;
};

void add_fields(pybind11::module_& module);

}  // namespace tymbal::python
