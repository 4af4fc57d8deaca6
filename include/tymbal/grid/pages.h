// Memory for large arrays on huge pages where the system has them: fetching small pages one by one took a fifth of a
// solution's time.
#pragma once

#include <cstddef>
#include <cstdlib>
#include <vector>

namespace tymbal {

/// Undefined memory, freed by std::free. @throws std::bad_alloc
[[nodiscard]] void* allocate_pages(std::size_t bytes);

template <class T>
struct PageAllocator {
    using value_type = T;
    PageAllocator() = default;
    template <class U>
    PageAllocator(const PageAllocator<U>&) {}
    [[nodiscard]] T* allocate(std::size_t count) { return static_cast<T*>(allocate_pages(count * sizeof(T))); }
    void deallocate(T* p, std::size_t) { std::free(p); }
    friend bool operator==(const PageAllocator&, const PageAllocator&) { return true; }
};

template <class T>
using PageVector = std::vector<T, PageAllocator<T>>;

}  // namespace tymbal
