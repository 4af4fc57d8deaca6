#include "support/sweep.h"

#include "support/exact_modes.h"
#include "support/films.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>

namespace tymbal::sweep {

namespace {

// Rectangles: Ritz series with 20 beams against 26 (3e-7 without tension, less with it); discs, rings: root finding.
constexpr double rectangle_accuracy = 1e-6;
constexpr double root_accuracy = 1e-8;

class Dice {
public:
    explicit Dice(std::uint64_t seed) : engine_(seed) {}
    double uniform(double low, double high) {
        return low + (high - low) * static_cast<double>(engine_() >> 11) * 0x1.0p-53;
    }
    double log_uniform(double low, double high) { return std::exp(uniform(std::log(low), std::log(high))); }

private:
    std::mt19937_64 engine_;
};

Case throw_case(Dice& dice, int number) {
    const double size = dice.log_uniform(20e-6, 5e-3);
    const double thickness = dice.log_uniform(10e-9, 2e-6);
    const double tense = dice.log_uniform(1e6, 1.5e9);
    const double stress = dice.uniform(0.0, 7.0) < 1.0 ? 0.0 : tense;
    const double ratio = dice.uniform(0.0, 1.0);
    const PaintedFilm film = simple::nitride(thickness, stress);
    switch (number % 3) {
        case 0: return {"rectangle", {simple::rectangle(size, size / std::pow(4.0, ratio)), film, 6, 1e-3}};
        case 1: return {"disc", {simple::disc(size), film, 6, 1e-3}};
        default: return {"ring", {simple::ring(size, size * (0.1 + 0.7 * ratio)), film, 6, 1e-3}};
    }
}

double own_accuracy(const Pair& pair) {
    return pair.shape == "rectangle" ? rectangle_accuracy : root_accuracy;
}

std::vector<double> frequencies(const std::vector<Mode>& modes) {
    std::vector<double> f;
    for (const Mode& mode : modes) f.push_back(mode.frequency_hz);
    return f;
}

}  // namespace

std::vector<Case> cases(std::uint64_t seed, int count) {
    Dice dice(seed);
    std::vector<Case> all;
    for (int k = 0; k < count; ++k) all.push_back(throw_case(dice, k));
    return all;
}

std::vector<double> exact_frequencies(const ModeProblem& problem) {
    const exact::Film film{problem.film.stress * problem.film.thickness, problem.film.bending(),
                           problem.film.density * problem.film.thickness};
    std::vector<double> values;
    if (const Rectangle* r = std::get_if<Rectangle>(&problem.outline))
        values = exact::rectangle(film, r->width.si(), r->height.si(), problem.count, 20);
    else if (const Disc* d = std::get_if<Disc>(&problem.outline))
        values = exact::disc(film, 0.5 * d->diameter.si(), problem.count);
    else if (const Ring* g = std::get_if<Ring>(&problem.outline))
        values = exact::ring(film, 0.5 * g->outer_diameter.si(), 0.5 * g->inner_diameter.si(), problem.count);
    for (double& value : values) value /= 2.0 * std::numbers::pi;
    return values;
}

std::vector<Pair> compare(const std::vector<Case>& all) {
    std::vector<Pair> pairs;
    for (std::size_t c = 0; c < all.size(); ++c) {
        const std::vector<double> exact = exact_frequencies(all[c].problem);
        const ModeSet set = find_modes(all[c].problem);
        std::vector<double> found = frequencies(set.modes);
        std::sort(found.begin(), found.end());
        for (std::size_t k = 0; k < exact.size(); ++k)
            pairs.push_back({c, all[c].shape, set.rim, std::abs(found[k] / exact[k] - 1.0),
                             set.modes[k].discretisation_error_hz / exact[k]});
    }
    return pairs;
}

double covered_share(const std::vector<Pair>& pairs) {
    const auto good = std::count_if(pairs.begin(), pairs.end(), [](const Pair& p) { return p.actual <= p.reported; });
    return static_cast<double>(good) / static_cast<double>(pairs.size());
}

double ratio_quantile(const std::vector<Pair>& pairs, double q) {
    std::vector<double> ratios;
    for (const Pair& p : pairs) ratios.push_back(p.reported / std::max(p.actual, own_accuracy(p)));
    std::sort(ratios.begin(), ratios.end());
    return ratios[static_cast<std::size_t>(q * static_cast<double>(ratios.size() - 1) + 0.5)];
}

}  // namespace tymbal::sweep
