// Commented designs to begin with.
#pragma once

#include <array>
#include <string_view>

namespace tymbal {

struct Starter {
    std::string_view name;   ///< of the variant, for the command line
    std::string_view about;  ///< half a line
    std::string_view text;   ///< the design file
};

/// The first is the one most begin with.
[[nodiscard]] std::array<Starter, 3> starters();

}  // namespace tymbal
