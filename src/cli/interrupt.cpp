#include "interrupt.h"

namespace tymbal {

namespace {

// A handler reaches nothing but what is global.
std::atomic<bool> asked = false;
static_assert(std::atomic<bool>::is_always_lock_free);

extern "C" void ask(int) {
    asked = true;
}

}  // namespace

Interrupt::Interrupt() {
    struct sigaction action {};
    action.sa_handler = ask;
    action.sa_flags = static_cast<int>(SA_RESETHAND);
    sigaction(SIGINT, &action, &before_);
    if (before_.sa_handler == SIG_IGN) sigaction(SIGINT, &before_, nullptr);  // a script's background job
}

Interrupt::~Interrupt() {
    sigaction(SIGINT, &before_, nullptr);
    if (asked) std::raise(SIGINT);
}

const std::atomic<bool>& Interrupt::flag() {
    return asked;
}

}  // namespace tymbal
