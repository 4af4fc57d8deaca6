// Chip files in Python, and what is asked of them.
#pragma once

#include "tymbal/read/read_chip.h"

#include "material_table.h"

#include <pybind11/pybind11.h>

#include <memory>
#include <string>
#include <vector>

namespace tymbal::python {

/// A chip file is read anew by each task, as each has its own settings; what was read first says what it holds.
struct HeldChip {
    std::string path;
    ReadLimits limits;
    std::shared_ptr<const MaterialTable> materials;
    std::string title;
    std::vector<std::string> devices;

    [[nodiscard]] ChipDesign read(const Changes& settings) const {
        return read_chip(path, *materials, limits, settings);
    }
};

/// All cores, unless some are asked for.
[[nodiscard]] unsigned cores(unsigned asked);

/// Hz between modes that are neighbours. @throws InputError for what is no frequency
[[nodiscard]] double distance_from(const pybind11::object& neighbours);

void add_chips(pybind11::module_& module);
void add_record(pybind11::module_& module);

}  // namespace tymbal::python
