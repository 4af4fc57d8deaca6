// Texts of files that the library carries inside: starter designs; and the folder of
// the material table that it was built beside.
#pragma once

#include <string_view>

namespace tymbal {

extern const std::string_view starter_lattice, starter_undercut, starter_window;
extern const std::string_view source_materials;

}  // namespace tymbal
