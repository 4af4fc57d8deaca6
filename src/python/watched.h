// Long work for a caller in Python: it runs beside, without the interpreter's lock, while the caller's thread listens
// for Ctrl-C and passes on how far the work is.
#pragma once

#include "tymbal/grid/solve_effort.h"
#include "tymbal/task/progressed.h"
#include "tymbal/task/variation.h"

#include <pybind11/pybind11.h>

#include <atomic>
#include <chrono>
#include <condition_variable>
#include <exception>
#include <mutex>
#include <optional>
#include <string>
#include <thread>
#include <utility>

namespace tymbal::python {

namespace py = pybind11;

/// Passes through a task whose caller has gone; no task takes it for an answer.
struct Stopped {};

/// What work and caller know of each other. All members may be used from any thread.
class Watch {
public:
    /// @throws Stopped once the caller has gone
    void keep_going() const {
        if (stop_) throw Stopped();
    }
    void stop() { stop_ = true; }
    [[nodiscard]] const std::atomic<bool>* stop_flag() const { return &stop_; }

    void share(double share);
    void say(std::string what);
    /// What there is to tell since the last call; from the caller's thread.
    struct News {
        double share = 0.0;
        std::string what;
    };
    [[nodiscard]] std::optional<News> news();

    /// For tasks that tell how far they are: ends them, too.
    [[nodiscard]] Progressed progressed();
    /// For solutions; `memory_limit` in bytes, 0: what the machine has.
    [[nodiscard]] SolveEffort effort(std::size_t memory_limit);
    /// For tasks that ask for designs: ends them, too.
    [[nodiscard]] DeviceAt checked(DeviceAt design_at);

private:
    std::atomic<bool> stop_ = false;
    std::mutex guard_;
    News latest_;
    bool new_ = false;
};

/// A thread that works; wait() is the caller's side of it.
class Work {
public:
    template <class Do>
    explicit Work(Do work) : thread_([this, work = std::move(work)]() mutable { run(work); }) {}
    ~Work();
    Work(const Work&) = delete;
    Work& operator=(const Work&) = delete;

    /// Until the work has ended or, for a moment, until something may be new. Without the interpreter's lock.
    [[nodiscard]] bool ended_within(std::chrono::milliseconds time);
    /// The work's exception, if it ended by one.
    void rethrow() const;

private:
    template <class Do>
    void run(Do& work) {
        std::exception_ptr fault;
        try {
            work();
        } catch (...) {
            fault = std::current_exception();
        }
        const std::lock_guard<std::mutex> lock(guard_);
        fault_ = fault;
        ended_ = true;
        woken_.notify_all();
    }

    std::mutex guard_;
    std::condition_variable woken_;
    bool ended_ = false;
    std::exception_ptr fault_;
    std::thread thread_;  // last: it uses the others
};

/// Calls progress(share, what) and looks for Ctrl-C. Needs the interpreter's lock.
/// @throws py::error_already_set what the callback raised, or KeyboardInterrupt
void attend(Watch& watch, const py::object& progress);

/// @throws InputError for a progress that is neither None nor callable
void require_callable(const py::object& progress);

/// What `work(Watch&)` returns. Called with the interpreter's lock, which is free while the work runs.
/// @param progress  None, or callable(share, what), called on this thread
template <class Do>
auto watched(const py::object& progress, Do do_work) {
    require_callable(progress);
    Watch watch;
    std::optional<decltype(do_work(watch))> result;
    {
        const py::gil_scoped_release free;
        Work work([&] { result.emplace(do_work(watch)); });
        while (!work.ended_within(std::chrono::milliseconds(50))) {
            const py::gil_scoped_acquire held;
            try {
                attend(watch, progress);
            } catch (...) {
                watch.stop();
                const py::gil_scoped_release free_again;
                while (!work.ended_within(std::chrono::milliseconds(50))) {
                }
                throw;
            }
        }
        work.rethrow();
    }
    attend(watch, progress);
    return std::move(*result);
}

}  // namespace tymbal::python
