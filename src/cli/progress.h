// How far a long task is and how long it will still take, on a terminal.
#pragma once

#include <chrono>
#include <cstddef>
#include <mutex>
#include <string>

namespace tymbal {

/// "34 s", "12 min", "1.5 h"
[[nodiscard]] std::string duration(double seconds);

/// "|====    |" for a share from 0 to 1.
[[nodiscard]] std::string progress_bar(double share);

/// One line on standard error that is written over; nothing when standard error is no terminal.
class Progress {
public:
    /// @param total  steps in all  @param wanted  false: stay silent
    Progress(std::size_t total, bool wanted);
    ~Progress();
    Progress(const Progress&) = delete;
    Progress& operator=(const Progress&) = delete;
    /// One more is done; from any thread. More steps than were expected stretch the whole.
    void step(bool failed);

private:
    using Clock = std::chrono::steady_clock;
    std::size_t total_, done_ = 0, failed_ = 0;
    bool shown_;
    std::mutex guard_;
    Clock::time_point start_ = Clock::now(), last_{};
};

}  // namespace tymbal
