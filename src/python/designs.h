// A design as Python holds it: what is written, and with which material table and limits it is read.
#pragma once

#include "tymbal/read/design.h"

#include "material_table.h"

#include <pybind11/pybind11.h>

#include <memory>

namespace tymbal::python {

/// Immutable, so that several threads may use one. Nothing here needs the interpreter's lock.
struct HeldDesign {
    Design design;
    ReadLimits limits;
    std::shared_ptr<const MaterialTable> materials;

    [[nodiscard]] Device device(const Changes& settings) const;
    /// For tasks that move through designs; changes come on top of the settings.
    [[nodiscard]] DeviceAt devices(const Changes& settings) const;
};

void add_designs(pybind11::module_& module);

}  // namespace tymbal::python
