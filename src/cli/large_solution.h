// A large solution at the terminal: what it will hold, how far it is, and Ctrl-C.
#pragma once

#include "waiting.h"

#include "tymbal/task/predict.h"

namespace tymbal {

/// Memory of the machine, GiB.
[[nodiscard]] double machine_gibibytes();

/// Announces a large solution on standard error, says its steps on the waiting line, and stops when it is interrupted.
/// @param limit_gibibytes  refused above  @param wanted  false: say nothing
[[nodiscard]] SolveEffort watched(Waiting& waiting, double limit_gibibytes, bool wanted);

}  // namespace tymbal
