#include "tymbal/task/record.h"

#include "tymbal/base/error.h"
#include "tymbal/geometry/placed_holes.h"

#include "../base/plain.h"

#include <algorithm>
#include <filesystem>

namespace tymbal {
namespace {
}
}  // namespace tymbal
