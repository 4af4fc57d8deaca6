// A device straight from the text of a design, with changes.
#pragma once

#include "tymbal/read/design.h"

#include <string>

namespace tymbal {

inline Device parse_device(const std::string& text, const std::string& path, const Materials& materials,
                           const Changes& changes = {}, const ReadLimits& limits = {}) {
    return as_released(parse_design(text, path).with(changes), materials, limits);
}

}  // namespace tymbal
