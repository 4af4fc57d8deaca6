#include "waiting.h"

#include <algorithm>
#include <chrono>
#include <iostream>
#include <utility>

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

void Waiting::say(std::string what) {
    const std::lock_guard<std::mutex> lock(guard_);
    what_ = std::move(what);
}

void Waiting::tell() {
    std::unique_lock<std::mutex> lock(guard_);
    std::size_t widest = 0;
    for (int seconds = 1; !woken_.wait_for(lock, std::chrono::seconds(1), [this] { return over_; }); ++seconds) {
        std::string line = "solving, ";
        line.append(std::to_string(seconds)).append(" s").append(what_);
        const std::size_t length = line.size();
        if (length < widest) line.append(widest - length, ' ');
        widest = std::max(widest, length);
        std::cerr << '\r' << line << std::flush;
    }
    if (widest > 0) std::cerr << '\r' << std::string(widest, ' ') << '\r' << std::flush;  // no escapes: any terminal
}

}  // namespace tymbal
