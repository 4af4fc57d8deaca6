#include "tymbal/grid/solve_effort.h"

#include "tymbal/base/error.h"

#include <algorithm>
#include <thread>

namespace tymbal {

unsigned SolveEffort::cores() const {
    return threads > 0 ? threads : std::max(1U, std::thread::hardware_concurrency());
}

void SolveEffort::keep_going() const {
    if (stop != nullptr && stop->load()) throw NoAnswer("the solution was stopped");
}

}  // namespace tymbal
