// The material table: where it lies, and its rows as structs.
#pragma once

#include "tymbal/base/material.h"

#include <string>

namespace tymbal {

/// Folder of the table for a program that was started as `program` (argv[0]): `wanted` when not empty, else the
/// environment variable TYMBAL_MATERIALS, else
/// ../share/tymbal/materials beside the program, else the source tree that the library was built from. A program
/// outside the installed folders takes tymbal_MATERIALS_DIR of the CMake package.
/// @throws InputError when none of them holds a table
[[nodiscard]] std::string find_materials(const std::string& wanted, const std::string& program);

/// Reads all files of the table: films, solids, metals, gases, etchants, liquids.
/// @throws InputError for unknown keys, missing sources, wrong units
[[nodiscard]] Materials read_materials(const std::string& folder);

/// Throws InputError when a result would replace a file of the table in `folder`.
void require_table_kept(const std::string& folder, const std::string& target);

}  // namespace tymbal
