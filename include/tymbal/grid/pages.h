// Memory for large arrays on huge pages where the system has them: fetching small pages one by one took a fifth of a
// solution's time.
#pragma once

#include <cstddef>
#include <cstdlib>
#include <memory>
#include <vector>

namespace tymbal {

/// Undefined memory, freed by std::free. @throws std::bad_alloc
[[nodiscard]] void* allocate_pages(std::size_t bytes);

/// Asks for huge pages where memory that is not yet touched spans whole ones; a hint.
void prefer_huge_pages(void* memory, std::size_t bytes);

/// The same for an array that was made without values.
template <class Array>
void prefer_huge_pages(Array& array) {
    prefer_huge_pages(array.data(), sizeof(*array.data()) * static_cast<std::size_t>(array.size()));
}

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

/// Memory that starts out undefined.
template <class T>
class Buffer {
public:
    Buffer() = default;
    explicit Buffer(std::size_t size) : data_(allocate(size)), size_(size) {}
    [[nodiscard]] T* data() { return data_.get(); }
    [[nodiscard]] const T* data() const { return data_.get(); }
    [[nodiscard]] std::size_t size() const { return size_; }
    [[nodiscard]] const T& operator[](std::size_t k) const { return data_[k]; }

private:
    struct Free {
        void operator()(T* p) const { std::free(p); }
    };
    static T* allocate(std::size_t size) { return static_cast<T*>(allocate_pages(size * sizeof(T))); }
    std::unique_ptr<T[], Free> data_;
    std::size_t size_ = 0;
};

}  // namespace tymbal
