// A sign of life on a terminal while one long step runs that cannot tell how far it is.
#pragma once

#include <condition_variable>
#include <mutex>
#include <string>
#include <thread>
#include <type_traits>

namespace tymbal {

/// After a second one line on standard error that tells for how long it has been; gone when the object goes. Nothing
/// when standard error is no terminal.
class Waiting {
public:
    /// @param wanted  false: stay silent
    explicit Waiting(bool wanted);
    /// What is being done at present, behind the time; from any thread.
    void say(std::string what);
    ~Waiting();
    Waiting(const Waiting&) = delete;
    Waiting& operator=(const Waiting&) = delete;

private:
    void tell();

    std::mutex guard_;
    std::condition_variable woken_;
    bool over_ = false;
    std::string what_;
    std::thread teller_;
};

/// What `work` returns, with that line while it takes its time; work may say what it does.
template <class Work>
auto waited(bool wanted, Work work) {
    Waiting waiting(wanted);
    if constexpr (std::is_invocable_v<Work, Waiting&>)
        return work(waiting);
    else
        return work();
}

}  // namespace tymbal
