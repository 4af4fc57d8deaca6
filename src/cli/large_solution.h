// A large solution at the terminal: what it will hold, how far it is, and Ctrl-C.
#pragma once

#include "waiting.h"

#include "tymbal/task/predict.h"

#include <CLI/CLI.hpp>

namespace tymbal {

/// Announces a large solution on standard error, says its steps on the waiting line, and stops when it is interrupted.
/// @param limit_gibibytes  more is refused; 0: what the machine has  @param wanted  false: say nothing
[[nodiscard]] SolveEffort watched(Waiting& waiting, double limit_gibibytes, bool wanted);

/// --memory-limit, in GiB.
void add_memory_limit(CLI::App& command, double& gibibytes);

}  // namespace tymbal
