#include "in_parallel.h"

#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <thread>
#include <vector>

namespace tymbal {

void in_parallel(std::size_t count, unsigned threads, const std::function<void(std::size_t)>& work) {
    std::atomic<std::size_t> next = 0;
    std::atomic<bool> stop = false;
    std::mutex guard;
    std::exception_ptr failure;
    std::size_t failed = count;  // items start in order, so the first to fail in that order is always the same
    const auto run = [&] {
        for (std::size_t k = next++; k < count && !stop; k = next++) {
            try {
                work(k);
            } catch (...) {
                const std::lock_guard lock(guard);
                if (k < failed) failure = std::current_exception();
                failed = std::min(failed, k);
                stop = true;
            }
        }
    };
    std::vector<std::thread> others;
    for (unsigned t = 1; t < threads && t < count; ++t) others.emplace_back(run);
    run();
    for (std::thread& thread : others) thread.join();
    if (failure) std::rethrow_exception(failure);
}

}  // namespace tymbal
