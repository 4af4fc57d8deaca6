// The search for the best design inside limits: what is feasible, what trades against what, and what one limit costs.
#pragma once

#include "tymbal/task/design_figures.h"
#include "tymbal/task/variation.h"

#include <array>
#include <optional>
#include <string>
#include <vector>

namespace tymbal {

/// One limit of the design as the search sees it.
struct ChoiceLimit {
    std::string key;  ///< "limits.least_ligament", or "limits.frequency (low)" and "(high)"
    double limit = 0.0;
    std::string unit;
};

/// A design that was solved.
struct Candidate {
    Changes changes;  ///< of the design file
    std::optional<DesignFigures> figures;
    std::string error;             ///< why there are no figures
    std::vector<double> margins;   ///< one per limit: relative distance on the good side, negative where it is broken;
                                   ///< of the frequency window in halves of its width
    double frequency_error = 0.0;  ///< |f / target - 1|, 0 without a target
    std::optional<double> chance;  ///< of the target mode to lie in the window, by all deviations stated; empty
                                   ///< without a window, or when none is stated
    bool feasible = false;
    [[nodiscard]] const ModeFigure& mode() const { return figures->modes[figures->target]; }
};

/// Smallest and largest value over the feasible designs.
struct FeasibleRange {
    std::string name;
    std::string unit;
    double low = 0.0, high = 0.0;
};

/// What a binding limit costs.
struct Relaxation {
    std::string key;
    double from = 0.0, to = 0.0;
    std::string unit;
    Candidate best;  ///< with the limit at `to`, the others as they are
};

struct Choice {
    std::string title, sha256;
    std::vector<FreeKey> free;
    Aim aim = Aim::qf;
    std::optional<double> target_hz;
    std::optional<std::array<double, 2>> window_hz;  ///< of the target mode; the target's 1 % where no limit gives one
    std::vector<ChoiceLimit> limits;
    bool robust = false;
    double least_chance = 0.0;  ///< that a recommended design should have
    std::size_t solved = 0, failed = 0, feasible = 0;
    std::size_t likely = 0;           ///< of the feasible ones, those with the least chance
    std::vector<std::size_t> broken;  ///< by how many of the solved designs, one number per limit
    std::vector<FeasibleRange> ranges;
    std::vector<Candidate> best;  ///< the Pareto set, by the figure aimed at, falling
    Candidate recommended;
    Changes lines;  ///< of the recommended design, as a design file holds them: no derived keys, lists whole
    std::string reason;
    std::vector<Relaxation> relaxations;
    std::vector<std::string> notes;   ///< limits that could not be checked, figures that are rough
    std::vector<SourceLine> sources;  ///< of the design as the file has it
};

struct ChoiceJob {
    const DeviceAt& device_at;
    const Materials& materials;
    int samples = 60;  ///< first designs, spread over the free ranges; the search itself takes about as many more
    unsigned threads = 1;
    bool robust = false;        ///< seek the largest chance to meet the window; target.aim decides between equal ones
    double least_chance = 0.9;  ///< to meet the window; designs that have it come before all others
    SolveEffort large{};        ///< of each design
};

/// Spreads designs over the free ranges (Halton's sequence), brings each to the target frequency where the outline is
/// free, and improves the best two with NLopt's COBYLA (Powell 1994) inside the limits. No random numbers; every
/// candidate was solved. Recommended is the largest Q f, or what target.aim says, among designs that hold all limits
/// and whose chance to meet the window is at least `least_chance`; where no design has that, the largest chance. The
/// Pareto set is over frequency error, Q f, release time, fracture margin, reflectivity and the figure aimed at. A
/// design whose mode light does not meet has no answer where a coupling is sought.
/// @throws InputError without [free], or a robust search without a window or a stated deviation
/// @throws NoAnswer   when no solved design holds all limits; the text names the nearest and what it breaks
[[nodiscard]] Choice choose(const ChoiceJob& job);

/// What the search seeks of a mode: Hz, or 1 for a cooperativity. Empty where the coupling is not known or zero.
[[nodiscard]] std::optional<double> figure_aimed_at(Aim aim, const ModeFigure& mode);

/// About how many designs such a search solves, for whoever waits for it: every sample brought to the target, the best
/// improved, two limits eased.
[[nodiscard]] std::size_t expected_designs(const ChoiceJob& job);

/// Probability that a normally distributed frequency lies in a window.
[[nodiscard]] double chance_in(const std::array<double, 2>& window_hz, double frequency_hz, double deviation_hz);

}  // namespace tymbal
