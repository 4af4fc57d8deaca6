#include "tymbal/task/choose.h"

#include "tymbal/base/error.h"
#include "tymbal/task/solved.h"

#include "../base/halton.h"
#include "../base/in_parallel.h"
#include "candidates.h"
#include "choice_reason.h"
#include "pareto.h"
#include "sized_lengths.h"
#include "sources.h"

#include <nlopt.hpp>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <limits>

namespace tymbal {

namespace {

constexpr int refinements = 2;        // of the best samples
constexpr int refinement_steps = 45;  // designs solved in each
constexpr int relaxation_steps = 30;
constexpr double easing = 0.1;       // how far a binding limit is relaxed to see what it costs
constexpr double first_step = 0.08;  // of the unit box

std::vector<Spot> spread(const Candidates& candidates, int samples) {
    constexpr std::size_t primes[] = {2, 3, 5, 7, 11, 13, 17, 19};
    std::vector<Spot> spots;
    for (std::size_t k = 1; k <= static_cast<std::size_t>(samples); ++k) {
        Spot spot{{}, k % candidates.name_count()};
        const std::size_t turn =
            1 + (k - 1) / candidates.name_count();  // each combination of names sees the same points
        for (std::size_t d = 0; d < candidates.dimensions(); ++d) spot.x.push_back(halton(turn, primes[d]));
        spots.push_back(spot);
    }
    return spots;
}

struct Solved {
    Spot spot;
    Candidate candidate;
};

double worst_margin(const Candidate& c) {
    double worst = 0.0;
    for (const double m : c.margins) worst = std::min(worst, m);
    return worst;
}

/// What is sought, and which of two designs comes first.
struct Order {
    const Candidates& candidates;
    bool robust;

    [[nodiscard]] double merit(const Candidate& c) const {
        if (!c.figures) return -std::numeric_limits<double>::infinity();
        return robust ? c.chance.value_or(0.0) : std::log(aimed_at(c));
    }
    /// Every candidate with figures has it: see Candidates::solve.
    [[nodiscard]] double aimed_at(const Candidate& c) const {
        return figure_aimed_at(candidates.start().target.aim, c.mode()).value_or(0.0);
    }

    /// Feasible ones first, of them those that are likely to meet the window, by merit; the unlikely ones by their
    /// chance; those that are not feasible by how far they are from it.
    [[nodiscard]] bool operator()(const Candidate& a, const Candidate& b) const {
        if (a.feasible != b.feasible) return a.feasible;
        if (!a.feasible) {
            if (a.figures.has_value() != b.figures.has_value()) return a.figures.has_value();
            return worst_margin(a) > worst_margin(b);
        }
        const bool likely = candidates.likely(a);
        if (!robust && likely != candidates.likely(b)) return likely;
        const auto by = [&](const Candidate& c) { return robust || likely ? merit(c) : *c.chance; };
        if (by(a) != by(b)) return by(a) > by(b);
        return aimed_at(a) > aimed_at(b);
    }
};

/// By how much a candidate's chance exceeds the least one; what has no figures has none.
double spare_chance(const Candidate& c, double least) {
    return c.figures ? c.chance.value_or(1.0) - least : -1.0;
}

/// All designs solved on the way from one start by COBYLA: merit as objective, margins and chance as constraints.
std::vector<Solved> refine(const Order& order, const Spot& start, const std::vector<ChoiceLimit>& limits, int steps) {
    const Candidates& candidates = order.candidates;
    std::vector<Solved> path;
    std::vector<double> last;
    const auto at = [&](const std::vector<double>& x) -> const Candidate& {
        if (x == last) return path.back().candidate;
        last = x;
        const Spot spot{x, start.names};
        path.push_back({spot, candidates.solve(spot, limits)});
        return path.back().candidate;
    };
    using Point = std::vector<double>;
    const nlopt::vfunc objective = [](const Point& x, Point&, void* of) {
        const auto& [ask, by] = *static_cast<std::pair<const decltype(at)*, const Order*>*>(of);
        const Candidate& c = (*ask)(x);
        return c.figures ? -by->merit(c) : 0.0;
    };
    struct Constraint {
        const decltype(at)* ask;
        std::size_t limit;
    };
    const nlopt::vfunc constraint = [](const Point& x, Point&, void* of) {
        const auto* which = static_cast<const Constraint*>(of);
        return -(*which->ask)(x).margins[which->limit];
    };
    std::pair<const decltype(at)*, const Order*> asked{&at, &order};
    const nlopt::vfunc likely = [](const Point& x, Point&, void* of) {
        const auto& [ask, by] = *static_cast<std::pair<const decltype(at)*, const Order*>*>(of);
        return -spare_chance((*ask)(x), by->candidates.least_chance());
    };
    std::vector<Constraint> constraints;
    for (std::size_t k = 0; k < limits.size(); ++k) constraints.push_back({&at, k});
    nlopt::opt search(nlopt::LN_COBYLA, static_cast<unsigned>(candidates.dimensions()));
    search.set_lower_bounds(0.0);
    search.set_upper_bounds(1.0);
    search.set_initial_step(first_step);
    search.set_maxeval(steps);
    search.set_xtol_abs(1e-4);
    search.set_min_objective(objective, &asked);
    for (Constraint& c : constraints) search.add_inequality_constraint(constraint, &c, 0.0);
    if (!order.robust) search.add_inequality_constraint(likely, &asked, 0.0);
    Point x = start.x;
    double ignored = 0.0;
    try {
        search.optimize(x, ignored);
    } catch (const nlopt::roundoff_limited&) {
        return path;  // it has come as far as it can
    }
    return path;
}

void append(std::vector<Solved>& to, const std::vector<std::vector<Solved>>& from) {
    for (const auto& part : from) to.insert(to.end(), part.begin(), part.end());
}

/// The samples, each followed by up to two steps towards the target frequency.
std::vector<Solved> sample(const Candidates& candidates, const ChoiceJob& job, const std::vector<ChoiceLimit>& limits) {
    const std::vector<Spot> spots = spread(candidates, job.samples);
    std::vector<std::vector<Solved>> found(spots.size());
    in_parallel(spots.size(), job.threads, [&](std::size_t k) {
        Spot spot = spots[k];
        for (int step = 0; step < 3; ++step) {
            found[k].push_back({spot, candidates.solve(spot, limits)});
            const std::optional<Spot> next = candidates.towards_target(spot, found[k].back().candidate);
            const bool inside = candidates.in_window(found[k].back().candidate);
            if (!next || (step > 0 && inside)) break;
            spot = *next;
        }
    });
    std::vector<Solved> all;
    append(all, found);
    return all;
}

/// The best solved designs, one for each combination of names first.
std::vector<Spot> starts(std::vector<Solved> solved, std::size_t count, const Order& order) {
    std::stable_sort(solved.begin(), solved.end(),
                     [&](const Solved& a, const Solved& b) { return order(a.candidate, b.candidate); });
    std::vector<Spot> chosen;
    for (const Solved& s : solved) {
        const bool apart = std::all_of(chosen.begin(), chosen.end(), [&](const Spot& other) {
            double distance = s.spot.names == other.names ? 0.0 : 1.0;
            for (std::size_t d = 0; d < s.spot.x.size(); ++d) distance += std::abs(s.spot.x[d] - other.x[d]);
            return distance > 0.1;
        });
        if (apart && s.candidate.figures) chosen.push_back(s.spot);
        if (chosen.size() == count) break;
    }
    return chosen;
}

const Solved& best_of(const std::vector<Solved>& solved, const Order& order) {
    return *std::min_element(solved.begin(), solved.end(),
                             [&](const Solved& a, const Solved& b) { return order(a.candidate, b.candidate); });
}

[[noreturn]] void nothing_feasible(const Candidate& nearest, const std::vector<ChoiceLimit>& limits,
                                   std::size_t solved) {
    std::string text = "none of " + std::to_string(solved) + " solved designs holds all limits; the nearest breaks";
    if (!nearest.figures) throw NoAnswer("no design inside [free] could be solved: " + nearest.error);
    for (std::size_t k = 0; k < limits.size(); ++k) {
        if (nearest.margins[k] >= 0.0) continue;
        char part[96];
        const bool window = limits[k].key.find("frequency") != std::string::npos;
        std::snprintf(part, sizeof part, " %s by %.3g %s", limits[k].key.c_str(),
                      -(window ? 50.0 : 100.0) * nearest.margins[k], window ? "% of the window" : "%");
        text += part;
    }
    text += " at";
    for (const Change& change : nearest.changes) {
        const double* si = std::get_if<double>(&change.value);
        char part[96];
        std::snprintf(part, sizeof part, " %.6g", si != nullptr ? *si : 0.0);
        text.append(" ").append(change.key).append(si != nullptr ? part : " " + std::get<std::string>(change.value));
    }
    throw NoAnswer(text + " (SI units); relax a limit or widen [free]");
}

void add_range(std::vector<FeasibleRange>& ranges, const std::string& name, const std::string& unit, double value) {
    const auto found =
        std::find_if(ranges.begin(), ranges.end(), [&](const FeasibleRange& r) { return r.name == name; });
    if (found == ranges.end()) {
        ranges.push_back({name, unit, value, value});
        return;
    }
    found->low = std::min(found->low, value);
    found->high = std::max(found->high, value);
}

std::vector<FeasibleRange> ranges_of(const std::vector<Solved>& solved) {
    std::vector<FeasibleRange> ranges;
    for (const Solved& s : solved) {
        const Candidate& c = s.candidate;
        if (!c.feasible) continue;
        for (const Change& change : c.changes)
            if (const double* si = std::get_if<double>(&change.value)) add_range(ranges, change.key, "", *si);
        add_range(ranges, "frequency", "Hz", c.mode().frequency_hz);
        add_range(ranges, "Q f", "Hz", c.mode().qf_hz);
        if (const auto& g0 = c.mode().single_photon_coupling_hz) add_range(ranges, "g0/2pi", "Hz", *g0);
        if (const auto& c0 = c.mode().single_photon_cooperativity) add_range(ranges, "C0", "1", *c0);
        add_range(ranges, "fracture margin", "1", c.figures->fracture_margin);
        if (c.figures->fill_factor) add_range(ranges, "fill factor", "1", *c.figures->fill_factor);
        if (c.figures->ligament_m) add_range(ranges, "ligament", "m", *c.figures->ligament_m);
        if (c.figures->reflectivity) add_range(ranges, "reflectivity", "1", *c.figures->reflectivity);
        if (c.figures->release.release_time_s)
            add_range(ranges, "release time", "s", *c.figures->release.release_time_s);
    }
    return ranges;
}

std::vector<Relaxation> relax_each(const Order& order, const ChoiceJob& job, const Choice& choice,
                                   const std::vector<Solved>& solved, const Spot& best) {
    const Candidates& candidates = order.candidates;
    const std::vector<std::string> keys = binding_limits(choice, choice.recommended);
    std::vector<Relaxation> all(keys.size());
    in_parallel(keys.size(), job.threads, [&](std::size_t k) {
        const std::vector<ChoiceLimit> eased = candidates.limits(keys[k], easing);
        std::vector<Solved> tried =
            candidates.dimensions() > 0 ? refine(order, best, eased, relaxation_steps) : std::vector<Solved>{};
        for (Solved s : solved) {  // designs that only this limit had ruled out
            candidates.judge(s.candidate, eased);
            tried.push_back(std::move(s));
        }
        const auto limit_in = [&](const std::vector<ChoiceLimit>& limits) {
            return *std::find_if(limits.begin(), limits.end(), [&](const ChoiceLimit& l) { return l.key == keys[k]; });
        };
        all[k] = {keys[k], limit_in(choice.limits).limit, limit_in(eased).limit, limit_in(eased).unit,
                  best_of(tried, order).candidate};
    });
    return all;
}

void count(const Candidates& candidates, const std::vector<Solved>& solved, Choice& choice) {
    choice.solved = solved.size();
    choice.broken.assign(choice.limits.size(), 0);
    for (const Solved& s : solved) {
        choice.failed += s.candidate.figures ? 0U : 1U;
        choice.feasible += s.candidate.feasible ? 1U : 0U;
        choice.likely += s.candidate.feasible && candidates.likely(s.candidate) ? 1U : 0U;
        for (std::size_t k = 0; s.candidate.figures && k < choice.limits.size(); ++k)
            choice.broken[k] += s.candidate.margins[k] < 0.0 ? 1U : 0U;
    }
}

std::vector<Candidate> pareto_candidates(const std::vector<Solved>& solved, const Order& order) {
    std::vector<Candidate> feasible;
    for (const Solved& s : solved)
        if (s.candidate.feasible) feasible.push_back(s.candidate);
    std::vector<Candidate> best = pareto(feasible, order.candidates.start().target.aim);
    std::stable_sort(best.begin(), best.end(),
                     [&](const Candidate& a, const Candidate& b) { return order.aimed_at(a) > order.aimed_at(b); });
    return best;
}

}  // namespace

std::optional<double> figure_aimed_at(Aim aim, const ModeFigure& mode) {
    if (aim == Aim::qf) return mode.qf_hz;
    const auto& figure = aim == Aim::g0 ? mode.single_photon_coupling_hz : mode.single_photon_cooperativity;
    return figure && *figure > 0.0 ? figure : std::nullopt;
}

std::size_t expected_designs(const ChoiceJob& job) {
    return static_cast<std::size_t>(2 * job.samples + refinements * refinement_steps + 2 * relaxation_steps);
}

Choice choose(const ChoiceJob& job) {
    const Candidates candidates(job);
    const Order order{candidates, job.robust};
    Choice choice;
    choice.title = candidates.start().title;
    choice.sha256 = candidates.start().sha256;
    choice.free = candidates.start().free;
    choice.aim = candidates.start().target.aim;
    choice.target_hz = candidates.target();
    choice.window_hz = candidates.window();
    choice.limits = candidates.limits();
    choice.robust = job.robust;
    choice.least_chance = job.least_chance;
    choice.notes = candidates.unchecked();
    std::vector<Solved> solved = sample(candidates, job, choice.limits);
    const std::vector<Spot> from =
        candidates.dimensions() > 0 ? starts(solved, refinements, order) : std::vector<Spot>{};
    std::vector<std::vector<Solved>> paths(from.size());
    in_parallel(from.size(), job.threads,
                [&](std::size_t k) { paths[k] = refine(order, from[k], choice.limits, refinement_steps); });
    append(solved, paths);
    count(candidates, solved, choice);
    const Solved best = best_of(solved, order);
    if (!best.candidate.feasible) nothing_feasible(best.candidate, choice.limits, solved.size());
    choice.recommended = best.candidate;
    choice.lines = as_written(candidates.start(), job.device_at(best.candidate.changes), best.candidate.changes);
    choice.ranges = ranges_of(solved);
    choice.best = pareto_candidates(solved, order);
    choice.reason = reason_for(choice, best.candidate, best.spot);
    choice.sources = list_sources(candidates.start(), substrate_of(candidates.start(), job.materials));
    choice.relaxations = relax_each(order, job, choice, solved, best.spot);
    return choice;
}

}  // namespace tymbal
