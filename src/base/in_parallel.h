// Work items on several threads; which thread takes which item decides nothing.
#pragma once

#include <cstddef>
#include <functional>

namespace tymbal {

/// Calls `work` with 0 .. count - 1, each once, on up to `threads` threads, the caller's among them. An exception ends
/// it; that of the lowest item passes through.
void in_parallel(std::size_t count, unsigned threads, const std::function<void(std::size_t)>& work);

}  // namespace tymbal
