#include "progress.h"

#include <algorithm>
#include <cstdio>
#include <iostream>
#include <string>

#include <unistd.h>

namespace tymbal {

std::string duration(double seconds) {
    char text[48];
    if (seconds < 100.0)
        std::snprintf(text, sizeof text, "%.0f s", seconds);
    else if (seconds < 6000.0)
        std::snprintf(text, sizeof text, "%.0f min", seconds / 60.0);
    else
        std::snprintf(text, sizeof text, "%.1f h", seconds / 3600.0);
    return text;
}

std::string progress_bar(double share) {
    constexpr double cells = 24.0;
    const auto filled = static_cast<std::size_t>(cells * std::clamp(share, 0.0, 1.0));
    std::string bar = "|";
    bar.append(filled, '=').append(static_cast<std::size_t>(cells) - filled, ' ').append("|");
    return bar;
}

Progress::Progress(std::size_t total, bool wanted) : total_(total), shown_(wanted && ::isatty(STDERR_FILENO) == 1) {}

Progress::~Progress() {
    if (shown_ && last_ != Clock::time_point{}) std::cerr << "\r\033[K";
}

void Progress::step(bool failed) {
    const std::lock_guard<std::mutex> lock(guard_);
    ++done_;
    total_ = std::max(total_, done_);
    failed_ += failed ? 1U : 0U;
    const Clock::time_point now = Clock::now();
    if (!shown_ || now - start_ < std::chrono::seconds(1) || now - last_ < std::chrono::milliseconds(200)) return;
    last_ = now;
    const double share = total_ > 0 ? static_cast<double>(done_) / static_cast<double>(total_) : 1.0;
    const double spent = std::chrono::duration<double>(now - start_).count();
    const double left = spent / static_cast<double>(done_) * static_cast<double>(total_ - done_);
    std::cerr << "\r\033[K" << progress_bar(share) << ' ' << done_ << " of " << total_ << ", ";
    if (failed_ > 0) std::cerr << failed_ << " without an answer, ";
    std::cerr << duration(left) << " left" << std::flush;
}

}  // namespace tymbal
