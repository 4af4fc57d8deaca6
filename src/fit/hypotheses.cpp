#include "hypotheses.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace tymbal {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;

constexpr std::size_t most_candidates = 24;
constexpr std::array<double, 4> scatters{2e-3, 7e-4, 2.5e-4, 8e-5};  // relative, beyond the stated errors
constexpr double leaned_on = 0.5;                                    // confidence from which a pair is named and used
constexpr double one_film = 3e-3;                                    // of stress, tilt and ln f by growth

using Pairs = std::vector<std::array<std::size_t, 2>>;  // peak, line

/// A matching of every scene and the film that goes with it.
struct Hypothesis {
    std::vector<Pairs> pairs;  ///< per scene
    FilmFit fit;
    double scatter = 0.0;
    double evidence = -1e300;  ///< ln, against: no peak is a mode of these membranes
};

bool nothing_named(const Hypothesis& h) {
    return std::all_of(h.pairs.begin(), h.pairs.end(), [](const Pairs& p) { return p.empty(); });
}

std::vector<Pairs> match_all(const std::vector<Scene>& scenes, const std::vector<Shift>& shifts, double scatter) {
    std::vector<Pairs> all;
    for (std::size_t d = 0; d < scenes.size(); ++d)
        all.push_back(match(scenes[d], log_frequencies(scenes[d].model, shifts[d]), scatter));
    return all;
}

Hypothesis weigh(const std::vector<Scene>& scenes, std::vector<Pairs> pairs, FitFreedom freedom) {
    Hypothesis h{std::move(pairs), {}, *freedom.scatter, -1e300};
    std::vector<Datum> data;
    std::vector<const LineModel*> models;
    double odds = 0.0, missing = 0.0, peaks = 0.0;
    for (std::size_t d = 0; d < scenes.size(); ++d) {
        const Scene& s = scenes[d];
        models.push_back(&s.model);
        peaks += static_cast<double>(s.logs.size());
        for (const auto& [peak, line] : h.pairs[d]) {
            const auto i = static_cast<Index>(peak), k = static_cast<Index>(line);
            data.push_back({d, line, s.logs[i], total_deviation(s, i, k, 0.0)});
            odds += s.odds[k] - s.foreign[i];
        }
    }
    h.fit = fit_film(models, data, freedom);
    for (std::size_t d = 0; d < scenes.size(); ++d)
        missing += unseen_in_band(scenes[d], log_frequencies(scenes[d].model, h.fit.shifts[d]));
    const double as_many_foreign = peaks * (0.5 - std::log(2.0));
    h.evidence = h.fit.log_evidence + odds + missing + as_many_foreign;
    return h;
}

/// Matching and film in turn, the tolerance narrowing; the scatter with the largest evidence wins.
Hypothesis refine(const std::vector<Scene>& scenes, const FilmGuess& start, FitFreedom freedom) {
    std::vector<Shift> shifts = start.shifts;
    Hypothesis best;
    for (const double scatter : scatters)
        for (int turn = 0; turn < 2; ++turn) {
            freedom.scatter = scatter;
            Hypothesis h = weigh(scenes, match_all(scenes, shifts, scatter), freedom);
            if (nothing_named(h)) return best;
            shifts = h.fit.shifts;
            if (h.evidence > best.evidence) best = std::move(h);
        }
    return best;
}

/// Line that a hypothesis gives a peak, -1: none.
int line_of(const Pairs& pairs, std::size_t peak) {
    for (const auto& pair : pairs)
        if (pair[0] == peak) return static_cast<int>(pair[1]);
    return -1;
}

bool same_shift(const LineModel& model, const Shift& a, const Shift& b) {
    const double slope = model.lines.front().growth;
    return std::abs(a.stress - b.stress) < one_film && std::abs(a.tilt - b.tilt) < one_film &&
           std::abs(slope * (a.growth_m - b.growth_m)) < one_film;
}

/// Two ways to the same film. The film with x and y swapped is another one, however near.
bool same_film(const std::vector<Scene>& scenes, const Hypothesis& a, const Hypothesis& b) {
    if (a.pairs == b.pairs) return true;
    for (std::size_t d = 0; d < scenes.size(); ++d) {
        for (const auto& [peak, line] : a.pairs[d]) {
            const int twin = scenes[d].model.lines[line].twin;
            if (twin >= 0 && line_of(b.pairs[d], peak) == twin) return false;
        }
        if (!same_shift(scenes[d].model, a.fit.shifts[d], b.fit.shifts[d])) return false;
    }
    return true;
}

/// Another hypothesis is a rival when it names a quarter of the peaks otherwise; twins do not count: on a square
/// nothing in the frequencies tells x from y.
bool is_rival(const std::vector<Scene>& scenes, const Hypothesis& best, const Hypothesis& other) {
    std::size_t otherwise = 0, named_at_all = 0;
    for (std::size_t d = 0; d < scenes.size(); ++d)
        for (const auto& [peak, line] : best.pairs[d]) {
            const int named = line_of(other.pairs[d], peak), twin = scenes[d].model.lines[line].twin;
            if (named != static_cast<int>(line) && (twin < 0 || named != twin)) ++otherwise;
            ++named_at_all;
        }
    return 4 * otherwise > named_at_all;
}

std::vector<Hypothesis> hypotheses(const std::vector<Scene>& scenes, const std::vector<FilmGuess>& guesses,
                                   const FitFreedom& freedom) {
    std::vector<Hypothesis> all;
    for (const FilmGuess& c : guesses) {
        Hypothesis h = refine(scenes, c, freedom);
        if (!nothing_named(h)) all.push_back(std::move(h));
    }
    std::stable_sort(all.begin(), all.end(),
                     [](const Hypothesis& a, const Hypothesis& b) { return a.evidence > b.evidence; });
    std::vector<Hypothesis> apart;
    for (Hypothesis& h : all)
        if (std::none_of(apart.begin(), apart.end(), [&](const Hypothesis& a) { return same_film(scenes, a, h); }))
            apart.push_back(std::move(h));
    return apart;
}

/// Pairs of the best hypothesis with their confidence: chances over all hypotheses and "no peak is a mode".
std::vector<Pairing> name_pairs(const Scene& s, std::size_t scene, const std::vector<Hypothesis>& all,
                                const std::vector<double>& weights) {
    MatrixXd chance = MatrixXd::Zero(s.logs.size(), static_cast<Index>(s.model.lines.size()));
    for (std::size_t h = 0; h < all.size(); ++h)
        if (weights[h] >= 1e-6)
            chance += weights[h] * chances(s, log_frequencies(s.model, all[h].fit.shifts[scene]), all[h].scatter);
    std::vector<Pairing> pairs;
    for (const auto& [peak, line] : all.front().pairs[scene]) {
        const auto i = static_cast<Index>(peak);
        const double alone = chance(i, static_cast<Index>(line));
        const int other = s.model.lines[line].twin;
        const double confidence = alone + (other >= 0 ? chance(i, other) : 0.0);
        if (confidence > leaned_on) pairs.push_back({peak, line, std::min(confidence, 1.0), alone});
    }
    return pairs;
}

}  // namespace

std::vector<FilmGuess> best_apart(std::vector<FilmGuess> all) {
    std::stable_sort(all.begin(), all.end(), [](const FilmGuess& a, const FilmGuess& b) { return a.score > b.score; });
    std::vector<FilmGuess> apart;
    for (const FilmGuess& c : all) {
        const bool near = std::any_of(apart.begin(), apart.end(), [&](const FilmGuess& a) {
            return std::abs(a.place[0] - c.place[0]) < 3.5 && std::abs(a.place[1] - c.place[1]) < 2.5 &&
                   std::abs(a.place[2] - c.place[2]) < 2.5;
        });
        if (!near) apart.push_back(c);
        if (apart.size() == most_candidates) break;
    }
    return apart;
}

std::vector<Assignment> weigh_films(const std::vector<Scene>& scenes, const std::vector<FilmGuess>& guesses,
                                    const FitFreedom& freedom) {
    std::vector<Assignment> out(scenes.size());
    const std::vector<Hypothesis> all = hypotheses(scenes, guesses, freedom);
    if (all.empty()) return out;
    const double top = std::max(all.front().evidence, 0.0);
    double total = std::exp(-top);  // of: no peak is a mode
    for (const Hypothesis& h : all) total += std::exp(h.evidence - top);
    std::vector<double> weights;
    for (const Hypothesis& h : all) weights.push_back(std::exp(h.evidence - top) / total);
    double rival = 0.0;
    for (std::size_t h = 1; h < all.size(); ++h)
        if (is_rival(scenes, all.front(), all[h])) rival = std::max(rival, weights[h]);
    for (std::size_t d = 0; d < scenes.size(); ++d)
        out[d] = {name_pairs(scenes[d], d, all, weights), 1.0 - std::exp(-top) / total, rival,
                  all.front().fit.shifts[d]};
    return out;
}

}  // namespace tymbal
