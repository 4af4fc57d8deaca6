#include "waiting.h"

#include <chrono>
#include <iostream>

#include <unistd.h>

namespace tymbal {

Waiting::Waiting(bool wanted) {
    if (wanted && ::isatty(STDERR_FILENO) == 1) teller_ = std::thread([this] { tell(); });
}

Waiting::~Waiting() {
    if (!teller_.joinable()) return;
    {
        const std::lock_guard<std::mutex> lock(guard_);
        over_ = true;
    }
    woken_.notify_one();
    teller_.join();
}

void Waiting::tell() {
    std::unique_lock<std::mutex> lock(guard_);
    for (int seconds = 1; !woken_.wait_for(lock, std::chrono::seconds(1), [this] { return over_; }); ++seconds)
        std::cerr << "\r\033[Ksolving, " << seconds << " s" << std::flush;
    std::cerr << "\r\033[K" << std::flush;
}

}  // namespace tymbal
