#include "watched.h"

#include "tymbal/base/error.h"

namespace tymbal::python {

namespace {

std::string described(const SolveStep& step) {
    return std::string(step.stage == SolveStage::stress ? "stress" : "modes")
        .append(", ")
        .append(std::to_string(step.unknowns))
        .append(" unknowns, step ")
        .append(std::to_string(step.step));
}

}  // namespace

void Watch::share(double share) {
    const std::lock_guard<std::mutex> lock(guard_);
    if (share <= latest_.share) return;
    latest_.share = share < 1.0 ? share : 1.0;
    new_ = true;
}

void Watch::say(std::string what) {
    const std::lock_guard<std::mutex> lock(guard_);
    latest_.what = std::move(what);
    new_ = true;
}

std::optional<Watch::News> Watch::news() {
    const std::lock_guard<std::mutex> lock(guard_);
    if (!new_) return std::nullopt;
    new_ = false;
    return latest_;
}

Progressed Watch::progressed() {
    return [this](double done) {
        keep_going();
        share(done);
    };
}

SolveEffort Watch::effort(std::size_t memory_limit) {
    SolveEffort effort;
    effort.stop = &stop_;
    effort.memory_limit = memory_limit;
    effort.progress = [this](const SolveStep& step) { say(described(step)); };
    return effort;
}

DeviceAt Watch::checked(DeviceAt design_at) {
    return [this, design_at = std::move(design_at)](const Changes& changes) {
        keep_going();
        return design_at(changes);
    };
}

Work::~Work() {
    thread_.join();
}

bool Work::ended_within(std::chrono::milliseconds time) {
    std::unique_lock<std::mutex> lock(guard_);
    return woken_.wait_for(lock, time, [this] { return ended_; });
}

void Work::rethrow() const {
    if (fault_) std::rethrow_exception(fault_);
}

void attend(Watch& watch, const py::object& progress) {
    if (PyErr_CheckSignals() != 0) throw py::error_already_set();
    if (progress.is_none()) return;
    if (const auto news = watch.news()) progress(news->share, news->what);
}

void require_callable(const py::object& progress) {
    if (!progress.is_none() && PyCallable_Check(progress.ptr()) == 0)
        throw InputError({}, "progress",
                         "is " + py::cast<std::string>(py::repr(progress)) +
                             "; accepted: None, or what is called as progress(share, what)");
}

}  // namespace tymbal::python
