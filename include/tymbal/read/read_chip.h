// A chip file as a checked struct: [[device]] and [[array]] with their designs read, changed and placed.
#pragma once

#include "tymbal/base/material.h"
#include "tymbal/read/design.h"
#include "tymbal/task/chip_design.h"

#include <map>
#include <string>

namespace tymbal {

/// Whether the file at `path` has a [[device]] or [[array]]. @throws InputError when it cannot be read, and where it
/// speaks of them and is no TOML
[[nodiscard]] bool is_chip_file(const std::string& path);

/// @param settings  changes of every device's design, such as solve.modes
/// @throws InputError naming chip file, device, design file, line and key
[[nodiscard]] ChipDesign read_chip(const std::string& path, const Materials& materials, const ReadLimits& limits = {},
                                   const Changes& settings = {});

/// All files that the chip was read from, each once however it is spelled, in the role that it was met in
/// first: chip | design | holes | picture.
[[nodiscard]] std::map<std::string, std::string> files_of(const ChipDesign& chip);

/// All files that a chip file names, itself among them, whether they are there or not; roles as above.
/// @throws InputError as read_chip does where the devices' designs cannot be read
[[nodiscard]] std::map<std::string, std::string> files_named_by_chip(const std::string& path);

/// One device of the chip as a design: the chip's sections and the device's changes are in it.
/// @throws InputError as read_chip does; for a name that the chip has not, or none, it lists those it has
[[nodiscard]] Design read_chip_device(const std::string& path, const std::string& name);

}  // namespace tymbal
