#include "band_fit.h"

#include "tymbal/base/constants.h"

#include <algorithm>
#include <cmath>
#include <set>

namespace tymbal::fourier {

namespace {

using constants::pi;
constexpr double beside_the_end = 1e-3;  // rad: at the very end an order grazes
constexpr double fit_tolerance = 1e-6;
constexpr double rounding = 1e-9;  // relative: wavelengths this near are one
constexpr int most_samples = 80;

/// Where an order of this |G| (per pitch) begins to run away into a medium whose index follows the wavelength.
double threshold_m(const LatticeProblem& problem, double g, double start_m) {
    constexpr int rounds = 30;
    const double vacuum_m = 2.0 * pi / g * problem.holes.pitch_m;
    double at = start_m;
    for (int k = 0; k < rounds; ++k) {
        const LayeredFilm film = problem.film(at);
        at = vacuum_m * std::max(1.0, film.below ? film.below->real() : 1.0);
    }
    return at;
}

std::vector<double> thresholds_m(const LatticeProblem& problem, WavelengthRange range) {
    const double widest = 4.0;  // index of a substrate
    const double reach = 1.01 * widest * problem.holes.pitch_m / range.from_m;
    std::set<double> lengths;
    for (const Order& order : orders_within(scaled_cell(problem.holes), std::max(2.0, reach)))
        if (const double g = std::hypot(order.x, order.y); g > 0.0) lengths.insert(g);
    std::vector<double> out;
    for (const double g : lengths) {
        const double vacuum = 2.0 * pi / g * problem.holes.pitch_m, below = threshold_m(problem, g, range.from_m);
        for (const double at : {vacuum, below})
            if (out.empty() || std::none_of(out.begin(), out.end(),
                                            [&](double known) { return std::abs(known / at - 1.0) < rounding; }))
                out.push_back(at);
    }
    std::sort(out.begin(), out.end());
    return out;
}

}  // namespace

Complex Band::wavenumber(Complex angle) const {
    return 0.5 * (low + high) - 0.5 * (high - low) * std::cos(angle);
}

double Band::angle(double wavenumber) const {
    return std::acos(std::clamp((low + high - 2.0 * wavenumber) / (high - low), -1.0, 1.0));
}

Complex Band::slope(Complex angle) const {
    return 0.5 * (high - low) * std::sin(angle);
}

double first_threshold_m(const LatticeProblem& problem, WavelengthRange range) {
    return thresholds_m(problem, range).back();
}

std::vector<Band> bands_of(const LatticeProblem& problem, WavelengthRange range) {
    std::vector<double> ends{range.from_m, range.to_m};
    for (const double at : thresholds_m(problem, range))
        if (at > range.from_m * (1.0 + rounding) && at < range.to_m * (1.0 - rounding)) ends.push_back(at);
    std::sort(ends.begin(), ends.end(), std::greater<>());
    std::vector<Band> out;
    for (std::size_t k = 1; k < ends.size(); ++k)
        out.push_back({problem.holes.pitch_m / ends[k - 1], problem.holes.pitch_m / ends[k]});
    return out;
}

AdaptiveFit fit_band(const LatticeProblem& problem, const CellMatrices& cell, const Band& band) {
    const FieldAlong field = field_along(problem.field);
    const Eigen::Index port = incident(cell, field);
    const auto sampler = [&](double angle) -> std::vector<Complex> {
        const double nu = band.wavenumber(angle).real();
        const Layers film = scaled_layers(problem.film(problem.holes.pitch_m / nu), problem.holes.pitch_m);
        const Scattered s = scatter(cell, film, {2.0 * pi * nu}, field);
        if (is_symmetric(film)) return {s.even, s.odd};
        return {s.r[port], s.t[port]};
    };
    return fit_adaptively(sampler, {beside_the_end, pi - beside_the_end, fit_tolerance, most_samples});
}

}  // namespace tymbal::fourier
