// Where this checkout and its program are. One source knows; all others compile to the same object in every clone.
#pragma once

#include <string>

namespace places {

/// The folder of CMakeLists.txt, without a slash at its end.
std::string source_dir();

/// The program of this build.
std::string program();

}  // namespace places
