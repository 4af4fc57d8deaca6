#include "choice_reason.h"

#include "tymbal/quality/budget.h"

#include <algorithm>
#include <cstdio>
#include <limits>

namespace tymbal {

namespace {

constexpr double binding = 0.02;  // margin below which a limit is said to bind

/// Is the chance just the least one? Then the nearer end of the window binds, too.
bool chance_binds(const Choice& choice, const Candidate& c) {
    return !choice.robust && c.chance && *c.chance < choice.least_chance + binding;
}

std::vector<std::string> binding_ends(const Spot& spot, const std::vector<FreeKey>& free) {
    std::vector<std::string> ends;
    std::size_t d = 0;
    for (const FreeKey& key : free) {
        if (!key.names.empty()) continue;
        const double x = spot.x[d++];
        if (x < 0.01) ends.push_back("the lower end of " + key.key);
        if (x > 0.99) ends.push_back("the upper end of " + key.key);
    }
    return ends;
}

std::string percent(double share) {
    char text[32];
    std::snprintf(text, sizeof text, "%.3g %%", 100.0 * share);
    return text;
}

const char* sought(Aim aim) {
    switch (aim) {
        case Aim::g0: return "single-photon coupling g0";
        case Aim::cooperativity: return "single-photon cooperativity C0";
        case Aim::qf: break;
    }
    return "Q f";
}

/// What makes the recommended design the first of all.
std::string rank_of(const Choice& choice, const Candidate& c) {
    const std::string held = std::to_string(choice.feasible) + " designs that hold all limits";
    if (choice.robust) return "largest chance to meet the window of " + held;
    const std::string largest = std::string("largest ").append(sought(choice.aim)).append(" of ");
    if (!c.chance)
        return largest + held +
               (choice.window_hz ? "; no input states a deviation, so the chance to meet the window is not known" : "");
    if (*c.chance < choice.least_chance)
        return "no design that holds all limits has a chance of " + percent(choice.least_chance) +
               " to meet the window: this one has the largest, " + percent(*c.chance) + ", of " +
               std::to_string(choice.feasible);
    return largest + std::to_string(choice.likely) + " designs that hold all limits and have a chance of " +
           percent(choice.least_chance) + " or more to meet the window";
}

}  // namespace

std::vector<std::string> binding_limits(const Choice& choice, const Candidate& c) {
    std::vector<std::string> keys;
    const std::string window = "limits.frequency";
    double nearest = std::numeric_limits<double>::infinity();
    for (std::size_t k = 0; k < choice.limits.size(); ++k)
        if (choice.limits[k].key.rfind(window, 0) == 0) nearest = std::min(nearest, c.margins[k]);
    for (std::size_t k = 0; k < choice.limits.size(); ++k) {
        const bool nearer = choice.limits[k].key.rfind(window, 0) == 0 && c.margins[k] == nearest;
        if (c.margins[k] < binding || (nearer && chance_binds(choice, c))) keys.push_back(choice.limits[k].key);
    }
    return keys;
}

std::string reason_for(const Choice& choice, const Candidate& best, const Spot& spot) {
    std::string text = rank_of(choice, best).append("; ");
    std::vector<std::string> what = binding_limits(choice, best);
    for (std::string& end : binding_ends(spot, choice.free)) what.push_back(std::move(end));
    std::string list;
    for (const std::string& word : what) list.append(list.empty() ? "" : " and ").append(word);
    text.append(list.empty() ? "no limit binds" : list.append(what.size() == 1 ? " binds" : " bind"));
    const ModeFigure& mode = best.mode();
    if (mode.rough)
        text.append("; its Q is set by ")
            .append(heading(mode.limited_by))
            .append(" loss, which is known to an order of magnitude only");
    return text;
}

}  // namespace tymbal
