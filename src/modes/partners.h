// Which modes are one degenerate pair.
#pragma once

#include "tymbal/modes/modes.h"

#include <vector>

namespace tymbal {

/// Names neighbours of one kind whose frequencies the errors do not tell apart as each other's partners.
void name_partners(std::vector<Mode>& modes);

}  // namespace tymbal
