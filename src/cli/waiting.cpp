#include "waiting.h"

#include <chrono>
#include <iostream>
#include <string>

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
    int seconds = 1;
    for (; !woken_.wait_for(lock, std::chrono::seconds(1), [this] { return over_; }); ++seconds)
        std::cerr << "\rsolving, " << seconds << " s" << std::flush;
    if (seconds > 1) std::cerr << '\r' << std::string(24, ' ') << '\r' << std::flush;  // no escapes: any terminal
}

}  // namespace tymbal
