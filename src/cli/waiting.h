// A sign of life on a terminal while one long step runs that cannot tell how far it is.
#pragma once

#include <condition_variable>
#include <mutex>
#include <thread>

namespace tymbal {

/// After a second one line on standard error that tells for how long it has been; gone when the object goes. Nothing
/// when standard error is no terminal.
class Waiting {
public:
    /// @param wanted  false: stay silent
    explicit Waiting(bool wanted);
    ~Waiting();
    Waiting(const Waiting&) = delete;
    Waiting& operator=(const Waiting&) = delete;

private:
    void tell();

    std::mutex guard_;
    std::condition_variable woken_;
    bool over_ = false;
    std::thread teller_;
};

/// What `work` returns, with that line while it takes its time.
template <class Work>
auto waited(bool wanted, Work work) {
    const Waiting waiting(wanted);
    return work();
}

}  // namespace tymbal
