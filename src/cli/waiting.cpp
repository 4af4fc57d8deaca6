#include "waiting.h"

#include "progress.h"

#include <algorithm>
#include <chrono>
#include <iostream>
#include <utility>

#include <unistd.h>

namespace tymbal {

namespace {

constexpr std::size_t line_width = 78;  // written over whole: no escapes, any terminal

using Clock = std::chrono::steady_clock;

double seconds_since(Clock::time_point start) {
    return std::chrono::duration<double>(Clock::now() - start).count();
}

void write_over(const std::string& text) {
    std::cerr << '\r' << text << std::string(line_width - std::min(line_width, text.size()), ' ') << std::flush;
}

}  // namespace

Waiting::Waiting(bool wanted) {
    if (wanted && ::isatty(STDERR_FILENO) == 1) teller_ = std::thread([this] { tell_time(); });
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

Progressed Waiting::bar() {
    return [this](double share) {
        const std::lock_guard<std::mutex> lock(guard_);
        share_ = std::clamp(share, share_, 1.0);
    };
}

void Waiting::tell_time() {
    const Clock::time_point start = Clock::now();
    bool written = false;
    double told_share = 0.0, told_at = 0.0;  // the last word of the task, and when it came
    std::unique_lock<std::mutex> lock(guard_);
    const auto tick = std::chrono::milliseconds(200);
    while (!woken_.wait_for(lock, tick, [this] { return over_; })) {
        const double spent = seconds_since(start);
        if (share_ > told_share) told_share = share_, told_at = spent;
        if (spent < 1.0) continue;
        written = true;
        if (told_share == 0.0) {
            write_over("working, " + duration(spent) + what_);
            continue;
        }
        // Between two words of the task the time left runs down by itself; where that was too short, nothing is
        // promised.
        const double left = told_at / told_share * (1.0 - told_share) - (spent - told_at);
        write_over(progress_bar(told_share) + " " + duration(spent) +
                   (left >= 0.5 ? ", about " + duration(left) + " left" : std::string()));
    }
    if (!written) return;
    write_over("");
    std::cerr << '\r' << std::flush;
}

}  // namespace tymbal
