// Ctrl-C as a request that a long solution can grant at its next step.
#pragma once

#include <atomic>
#include <csignal>

namespace tymbal {

/// While it lives, the first interrupt sets a flag instead of ending the program; a second one ends it. As it goes, the
/// first one is obeyed, so that a calling script sees an interrupt whatever came of the flag. One at a time.
class Interrupt {
public:
    Interrupt();
    ~Interrupt();
    Interrupt(const Interrupt&) = delete;
    Interrupt& operator=(const Interrupt&) = delete;

    [[nodiscard]] static const std::atomic<bool>& flag();

private:
    struct sigaction before_ {};
};

}  // namespace tymbal
