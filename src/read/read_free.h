// [free]: the keys that size and choose may move.
#pragma once

#include "../text/toml_table.h"

#include "tymbal/task/device.h"

namespace tymbal {

/// Sorted by key. @throws InputError for unknown keys, for ranges that do not rise and lists of fewer than two names
[[nodiscard]] std::vector<FreeKey> read_free(const TomlTable& table);

}  // namespace tymbal
