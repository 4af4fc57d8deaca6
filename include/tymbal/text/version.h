// The version that results carry.
#pragma once

namespace tymbal {

inline constexpr const char* version = "0.1.0";  // a test holds it against the project's CMake version

}  // namespace tymbal
