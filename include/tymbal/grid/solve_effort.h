// What a long solution may use, whom it tells how far it is, and how it is stopped. Results do not depend on it.
#pragma once

#include <atomic>
#include <cstddef>
#include <functional>

namespace tymbal {

enum class SolveStage {
    stress,  ///< the film relaxes in its plane
    modes,
};

/// One step of an iteration, reported as it ends.
struct SolveStep {
    SolveStage stage = SolveStage::modes;
    std::size_t unknowns = 0;  ///< of the level
    int step = 0;
    double residual = 0.0;  ///< modes: worst of the wanted ones; stress: balance of forces; relative
};

/// The callbacks may be called from several threads at a time.
struct SolveEffort {
    unsigned threads = 0;  ///< 0: as many as the machine runs at a time
    std::function<void(const SolveStep&)> progress{};
    const std::atomic<bool>* stop = nullptr;  ///< when it becomes true the solution ends with NoAnswer within a step
    std::size_t memory_limit = 0;             ///< bytes; more is refused; 0: what the machine has
    std::function<void(std::size_t bytes)> announce{};  ///< told what a large solution will hold, before it starts

    [[nodiscard]] unsigned cores() const;
    /// @throws NoAnswer once `stop` is true
    void keep_going() const;
};

}  // namespace tymbal
