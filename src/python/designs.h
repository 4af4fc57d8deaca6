// A design as Python holds it: what was written and what was changed since, read anew for each task.
#pragma once

#include "tymbal/files/read_design.h"

#include <pybind11/pybind11.h>

#include <memory>
#include <string>

namespace tymbal::python {

using SharedMaterials = std::shared_ptr<const Materials>;

/// Immutable, so that several threads may use one.
struct WrittenDesign {
    std::string text;  ///< TOML
    std::string path;  ///< in messages, and where a hole file is looked for
    Changes changes;
    ReadLimits limits;
    SharedMaterials materials;

    /// The text with its changes and then those given. Needs no lock of the interpreter.
    [[nodiscard]] DesignAt varied() const;
    [[nodiscard]] Device at(const Changes& more) const { return varied()(more); }
};

void add_designs(pybind11::module_& module);

}  // namespace tymbal::python
