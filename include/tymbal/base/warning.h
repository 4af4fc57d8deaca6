// Warnings are data: results carry them, the program shows them.
#pragma once

#include <string>
#include <vector>

namespace tymbal {

/// Something a user must know before trusting or using a result.
struct Warning {
    std::string code;  ///< short stable name, e.g. "thick-plate"
    std::string text;  ///< one or two sentences: what, how much, what to do
};

using Warnings = std::vector<Warning>;

}  // namespace tymbal
