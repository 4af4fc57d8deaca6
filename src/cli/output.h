// Where output goes, and where the program itself lies.
#pragma once

#include <functional>
#include <ostream>
#include <string>

namespace tymbal {

/// Nothing for an empty target, standard output for "-", else a file that is written whole or not at all.
void write_to(const std::string& target, const std::function<void(std::ostream&)>& write);

/// Path of the running program; empty when the system does not tell.
[[nodiscard]] std::string own_path();

}  // namespace tymbal
