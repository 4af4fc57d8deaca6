#include "large_solution.h"

#include "interrupt.h"
#include "solve_options.h"

#include <cstdio>
#include <iostream>

namespace tymbal {

namespace {

constexpr double gibibyte = 1024.0 * 1024.0 * 1024.0;
constexpr double worth_a_line = 0.5;  // GiB; less is over before it is read

std::string described(const SolveStep& step) {
    char text[96];
    std::snprintf(text, sizeof text, ": %s, %zu unknowns, step %d, residual %.1e",
                  step.stage == SolveStage::stress ? "stress" : "modes", step.unknowns, step.step, step.residual);
    return text;
}

void announce(std::size_t bytes) {
    const double gib = static_cast<double>(bytes) / gibibyte;
    if (gib < worth_a_line) return;
    char text[96];
    std::snprintf(text, sizeof text, "every hole on the grid: the solution will hold some %.2g GiB\n", gib);
    std::cerr << text;
}

}  // namespace

SolveEffort watched(Waiting& waiting, double limit_gibibytes, bool wanted) {
    SolveEffort effort;
    effort.stop = &Interrupt::flag();
    effort.memory_limit = static_cast<std::size_t>(limit_gibibytes * gibibyte);
    if (!wanted) return effort;
    effort.announce = announce;
    effort.progress = [&waiting](const SolveStep& step) { waiting.say(described(step)); };
    return effort;
}

void add_memory_limit(CLI::App& command, double& gibibytes) {
    command
        .add_option("--memory-limit", gibibytes,
                    "GiB; a solution with every hole on the grid that would hold more is refused; default: the "
                    "machine's memory")
        ->check(between(1e-3, 1e6));
}

}  // namespace tymbal
