// Where output goes, and what it never replaces.
#pragma once

#include "tymbal/base/material.h"

#include <functional>
#include <map>
#include <ostream>
#include <string>
#include <vector>

namespace tymbal {

/// Nothing for an empty target, standard output for "-", else a file that is written whole or not at all.
void write_to(const std::string& target, const std::function<void(std::ostream&)>& write);

/// Throws InputError when two results would share a target, or one would replace the design itself.
void require_apart(const std::string& design, const std::string& json, const std::string& csv);

/// Throws InputError when a result would replace a file that was read. @param read  paths with their roles
void require_kept(const std::map<std::string, std::string>& read, const std::vector<std::string>& targets);

/// The material table, one of whose files no result replaces. @param wanted  as --materials has it; empty: the usual
/// one
[[nodiscard]] Materials material_table(const std::string& wanted, const std::vector<std::string>& targets);

/// Throws InputError when standard output did not take all that was written, e.g. on a full disk.
void finish_output();

}  // namespace tymbal
