#include "tymbal/light/gap_readout.h"

#include "../base/golden.h"

#include "tymbal/base/constants.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

constexpr int halvings = 60;

double crossing(const std::function<double(double)>& f, double a, double b) {
    const bool rising = f(b) > 0.0;
    for (int step = 0; step < halvings; ++step) {
        const double middle = 0.5 * (a + b);
        ((f(middle) > 0.0) == rising ? b : a) = middle;
    }
    return 0.5 * (a + b);
}

/// Share of what a film loses from the zero order that it absorbs.
double absorbed_share(const FieldResponse& film) {
    const double lost = film.absorption + film.diffracted;
    return film.diffracted > 0.0 && lost > 0.0 ? std::clamp(film.absorption / lost, 0.0, 1.0) : 1.0;
}

GapPoint at_gap(const FieldResponse& film, const FilmOverGap& stack, double gap_m) {
    const std::complex<double> i(0.0, 1.0);
    const double k = 2.0 * constants::pi / stack.wavelength_m;
    const std::complex<double> u = (1.0 - stack.below) / (1.0 + stack.below) * std::exp(2.0 * i * k * gap_m);
    const std::complex<double> round = 1.0 - film.back * u;
    const std::complex<double> r = film.front + film.through * film.through * u / round;
    const std::complex<double> slope = 2.0 * i * k * film.through * film.through * u / (round * round);
    const double onward = std::norm(film.through / round) * (1.0 - std::norm(u));  // net power below the film
    return {std::norm(r), 2.0 * (std::conj(r) * slope).real(), absorbed_share(film) * (1.0 - std::norm(r) - onward)};
}

/// Where the slope first falls below `limit`, walking from `at` by `step`.
double walk(const std::function<double(double)>& slope, double at, double step, double reach, double limit) {
    for (double x = at; std::abs(x - at) < reach; x += step)
        if (slope(x + step) < limit) return crossing([&](double y) { return slope(y) - limit; }, x, x + step);
    return at + std::copysign(reach, step);
}

}  // namespace

GapPoint at_gap(const FilmOverGap& stack, double gap_m) {
    const GapPoint along = at_gap(stack.film.along, stack, gap_m), across = at_gap(stack.film.across, stack, gap_m);
    return {0.5 * (along.reflectivity + across.reflectivity), 0.5 * (along.slope_per_m + across.slope_per_m),
            0.5 * (along.absorption + across.absorption)};
}

Landmarks find_landmarks(const std::function<double(double)>& slope, double from, double to, int steps) {
    std::vector<double> at, value;
    for (int k = 0; k <= steps; ++k) {
        at.push_back(from + (to - from) * k / steps);
        value.push_back(slope(at.back()));
    }
    Landmarks out;
    for (std::size_t k = 1; k < at.size(); ++k) {
        if ((value[k] > 0.0) != (value[k - 1] > 0.0)) {
            const double place = crossing(slope, at[k - 1], at[k]);
            out.blind.push_back({place, slope(place)});
        }
        if (k + 1 == at.size()) break;
        const double here = std::abs(value[k]);
        if (here <= std::abs(value[k - 1]) || here < std::abs(value[k + 1])) continue;
        const double place =
            highest_between([&](double x) { return std::abs(slope(x)); }, at[k - 1], at[k + 1], halvings);
        out.best.push_back({place, slope(place)});
    }
    return out;
}

Tolerance half_slope(const std::function<double(double)>& slope, double at, double reach) {
    const double limit = 0.5 * std::abs(slope(at)), step = reach / 400.0;
    const double sign = std::copysign(1.0, slope(at));
    const auto upright = [&](double x) { return sign * slope(x); };  // a step over a blind place changes its sign
    return {walk(upright, at, -step, reach, limit), walk(upright, at, step, reach, limit)};
}

}  // namespace tymbal
