#include "tymbal/grid/pages.h"

#include <algorithm>
#include <new>

#ifdef __linux__
#include <sys/mman.h>
#endif

namespace tymbal {

void* allocate_pages(std::size_t bytes) {
    constexpr std::size_t line = 64, huge = std::size_t{1} << 21U;
    const std::size_t unit = bytes < 4 * huge ? line : huge;
    const std::size_t whole = (std::max<std::size_t>(bytes, 1) + unit - 1) / unit * unit;
    void* const memory = std::aligned_alloc(unit, whole);
    if (memory == nullptr) throw std::bad_alloc();
#ifdef __linux__
    if (unit == huge) ::madvise(memory, whole, MADV_HUGEPAGE);  // only a hint
#endif
    return memory;
}

}  // namespace tymbal
