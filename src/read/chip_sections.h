// What a chip file says for all its devices, joined to each design before it is read.
#pragma once

#include "written_design.h"

#include <string>
#include <vector>

namespace tymbal {

/// Sections of a chip file that hold for every device.
[[nodiscard]] const std::vector<std::string>& shared_sections();

/// Whether a section is a fact of the chip (one film, one bath, one chamber), which no device may have otherwise.
[[nodiscard]] bool is_of_the_chip(const std::string& section);

/// Puts the chip's sections into a design. @throws InputError where both give a key and the values differ
void join_sections(const WrittenDesign& chip, WrittenDesign& design);

/// @throws InputError where two designs of one chip disagree on what the chip has once
void require_one_chip(const WrittenDesign& first, const std::string& first_name, const WrittenDesign& other);

}  // namespace tymbal
