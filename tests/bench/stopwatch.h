// What benchmark programs measure: wall time of a piece of work, largest memory so far.
#pragma once

#include <chrono>

#include <sys/resource.h>

namespace tymbal {

/// Wall time, s.
template <class Work>
double seconds(Work work) {
    const auto start = std::chrono::steady_clock::now();
    work();
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

/// Largest resident size of the process so far, MiB.
inline long peak_mib() {
    rusage usage{};
    ::getrusage(RUSAGE_SELF, &usage);
    return usage.ru_maxrss / 1024;
}

}  // namespace tymbal
