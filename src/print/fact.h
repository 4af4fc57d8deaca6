// A name with its value, as tables and pages list them below each other.
#pragma once

#include <string>

namespace tymbal {

struct Fact {
    std::string name, value;
};

}  // namespace tymbal
