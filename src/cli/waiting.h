// A sign of life on a terminal while a long task runs: for how long already, and, where the task tells, how far it is.
#pragma once

#include "tymbal/task/progressed.h"

#include <condition_variable>
#include <mutex>
#include <string>
#include <thread>

namespace tymbal {

/// After a second one line on standard error that tells for how long it has been, or a bar and the time left; gone when
/// the object goes. Nothing when standard error is no terminal.
class Waiting {
public:
    /// @param wanted  false: stay silent
    explicit Waiting(bool wanted);
    /// What is being done at present, behind the time; from any thread.
    void say(std::string what);
    ~Waiting();
    Waiting(const Waiting&) = delete;
    Waiting& operator=(const Waiting&) = delete;

    /// For the task to tell how far it is; from any thread, no longer than the object lives.
    [[nodiscard]] Progressed bar();

private:
    void tell_time();

    std::mutex guard_;
    std::condition_variable woken_;
    bool over_ = false;
    std::string what_;
    double share_ = 0.0;
    std::thread teller_;
};

/// What `work` returns, with that line while it takes its time.
template <class Work>
auto waited(bool wanted, Work work) {
    const Waiting waiting(wanted);
    return work();
}

/// The same for work that takes a Progressed and tells how far it is.
template <class Work>
auto waited_with_bar(bool wanted, Work work) {
    Waiting waiting(wanted);
    return work(waiting.bar());
}

}  // namespace tymbal
