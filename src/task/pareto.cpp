#include "pareto.h"

#include <algorithm>

namespace tymbal {

namespace {

/// Figures turned so that larger is better.
std::vector<double> merits(const Candidate& c, Aim aim) {
    const DesignFigures& f = *c.figures;
    return {-c.frequency_error,
            c.mode().qf_hz,
            f.fracture_margin,
            f.reflectivity.value_or(0.0),
            -f.release.release_time_s.value_or(0.0),
            figure_aimed_at(aim, c.mode()).value_or(0.0)};
}

/// At least as good in everything, and better in something or earlier in the list.
bool beats(const std::vector<double>& a, const std::vector<double>& b, bool earlier) {
    bool better = earlier;
    for (std::size_t k = 0; k < a.size(); ++k) {
        if (a[k] < b[k]) return false;
        better = better || a[k] > b[k];
    }
    return better;
}

}  // namespace

std::vector<Candidate> pareto(const std::vector<Candidate>& feasible, Aim aim) {
    std::vector<std::vector<double>> all;
    for (const Candidate& c : feasible) all.push_back(merits(c, aim));
    std::vector<Candidate> best;
    for (std::size_t k = 0; k < all.size(); ++k) {
        bool beaten = false;
        for (std::size_t other = 0; other < all.size() && !beaten; ++other)
            beaten = other != k && beats(all[other], all[k], other < k);
        if (!beaten) best.push_back(feasible[k]);
    }
    return best;
}

}  // namespace tymbal
