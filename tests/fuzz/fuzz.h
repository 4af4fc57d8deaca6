// What all fuzz targets share: an input may be refused in the library's two ways; anything else that is thrown is a
// finding.
#pragma once

#include "support/places.h"
#include "tymbal/base/error.h"
#include "tymbal/read/read_materials.h"

#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <functional>
#include <iostream>
#include <string>

#include <sys/mman.h>
#include <unistd.h>

namespace tymbal::fuzz {

inline std::string text_of(const std::uint8_t* data, std::size_t size) {
    return {reinterpret_cast<const char*>(data), size};
}

/// Runs the work; being refused is fine, and a refusal has one line of words.
inline void may_refuse(const std::function<void()>& work) {
    const auto require_words = [](const std::string& message) {
        if (message.empty() || message.find('\n') != std::string::npos) std::abort();
    };
    try {
        work();
    } catch (const InputError& e) {
        require_words(e.what());
    } catch (const NoAnswer& e) {
        require_words(e.what());
    }
}

/// A property that must hold for every input.
inline void require(bool holds, const char* property) {
    if (holds) return;
    std::cerr << "broken: " << property << '\n';
    std::abort();
}

inline const Materials& materials() {
    static const Materials table = read_materials(places::source_dir() + "/materials");
    return table;
}

/// A file in memory, for readers that want a path.
class MemoryFile {
public:
    MemoryFile() : file_(::memfd_create("fuzz", 0)) {}
    ~MemoryFile() { ::close(file_); }
    MemoryFile(const MemoryFile&) = delete;
    MemoryFile& operator=(const MemoryFile&) = delete;

    void hold(const std::string& bytes) const {
        if (::ftruncate(file_, 0) != 0 || ::pwrite(file_, bytes.data(), bytes.size(), 0) < 0) std::abort();
    }
    [[nodiscard]] std::string path() const { return "/proc/self/fd/" + std::to_string(file_); }

private:
    int file_;
};

}  // namespace tymbal::fuzz
