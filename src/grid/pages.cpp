#include "tymbal/grid/pages.h"

#include <algorithm>
#include <memory>
#include <new>

#ifdef __linux__
#include <sys/mman.h>
#endif

namespace tymbal {

namespace {

constexpr std::size_t huge = std::size_t{1} << 21U;

}  // namespace

void prefer_huge_pages(void* memory, std::size_t bytes) {
#ifdef __linux__
    // From the first whole page on: the system refuses a start within one.
    void* start = memory;
    std::size_t left = bytes;
    if (std::align(huge, huge, start, left) != nullptr) ::madvise(start, left / huge * huge, MADV_HUGEPAGE);
#else
    static_cast<void>(memory);
    static_cast<void>(bytes);
#endif
}

void* allocate_pages(std::size_t bytes) {
    constexpr std::size_t line = 64;
    const std::size_t unit = bytes < 4 * huge ? line : huge;
    const std::size_t whole = (std::max<std::size_t>(bytes, 1) + unit - 1) / unit * unit;
    void* const memory = std::aligned_alloc(unit, whole);
    if (memory == nullptr) throw std::bad_alloc();
    if (unit == huge) prefer_huge_pages(memory, whole);
    return memory;
}

}  // namespace tymbal
