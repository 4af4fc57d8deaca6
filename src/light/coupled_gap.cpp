#include "tymbal/light/coupled_gap.h"

#include "band_fit.h"
#include "film_ports.h"

#include "tymbal/base/constants.h"

#include <algorithm>
#include <cmath>
#include <memory>
#include <utility>

namespace tymbal {

namespace {

using namespace fourier;

/// The stack at one truncation, lengths in pitches.
struct SolvedStack {
    FilmPorts film;
    Eigen::MatrixXcd surface;
};

SolvedStack solve_stack(const CellMatrices& cell, const Layers& film, Complex below, double nu, LightField field,
                        double least_gap) {
    const Light light{2.0 * constants::pi * nu};
    FilmPorts ports = film_ports(cell, film, light, field_along(field), least_gap);
    Eigen::MatrixXcd surface = surface_of(cell, ports, below, light);
    return {std::move(ports), std::move(surface)};
}

/// What two truncations tend to, gap and slope in metres. The reflectivity's own step can be small by chance, so that
/// of the amplitude is asked too, turned against what passes: at R = 0 and R = 1 it counts in the second order only.
GapPoint limit(const OverGap& coarse, const OverGap& fine, double step, double pitch_m) {
    const auto slope = [&](const OverGap& at) { return 2.0 * (std::conj(at.r) * at.slope).real() / pitch_m; };
    const double few = std::norm(coarse.r), many = std::norm(fine.r), bent = slope(fine) - slope(coarse);
    const double turned = std::sqrt(many * std::max(0.0, 1.0 - many)) * std::abs(fine.r - coarse.r);
    return {std::clamp(many + step * (many - few), 0.0, 1.0), slope(fine) + step * bent,
            std::max(0.0, fine.absorption + step * (fine.absorption - coarse.absorption)),
            2.0 * step * std::max(std::abs(many - few), turned), 2.0 * step * std::abs(bent)};
}

GapPoint mean(const GapPoint& a, const GapPoint& b) {
    return {0.5 * (a.reflectivity + b.reflectivity), 0.5 * (a.slope_per_m + b.slope_per_m),
            0.5 * (a.absorption + b.absorption), std::max(a.error, b.error),
            std::max(a.slope_error_per_m, b.slope_error_per_m)};
}

using ByPlace = std::function<GapPoint(double)>;

/// Both fields, where symmetry does not make them one.
ByPlace mean_of_fields(const HoleLattice& holes, const std::function<ByPlace(LightField)>& solve) {
    ByPlace along = solve(LightField::along);
    if (alike_along_and_across(holes)) return along;
    return [along = std::move(along), across = solve(LightField::across)](double at) {
        return mean(along(at), across(at));
    };
}

/// Two truncations of one field.
struct Truncated {
    CellMatrices coarse, fine;
    double step = 0.0;
};

Truncated truncate(const HoleLattice& holes, LightField field, double shortest_m) {
    const Cell cell = scaled_cell(holes);
    const Truncation reach = beyond_running({}, holes.pitch_m / shortest_m);
    Truncated out{expand(cell, reach.coarse, parity_of(field)), expand(cell, reach.fine, parity_of(field))};
    out.step = step_to_limit(out.coarse, out.fine);
    return out;
}

/// Reflection and slope as functions of the angle of a band.
AdaptiveFit fit_stack(const LatticeProblem& problem, const CellMatrices& cell, const Band& band) {
    constexpr double beside_the_end = 1e-3, tolerance = 1e-5;
    constexpr int most_samples = 60;
    const double pitch = problem.holes.pitch_m;
    const auto sampler = [&](double angle) -> std::vector<Complex> {
        const double nu = band.wavenumber(angle).real();
        const LayeredFilm stack = problem.film(pitch / nu);
        const double gap = stack.gap_m / pitch;
        const SolvedStack solved = solve_stack(cell, scaled_layers({stack.layers}, pitch), *stack.below * *stack.below,
                                               nu, problem.field, gap);
        const OverGap at = over_gap(solved.film, solved.surface, gap);
        return {at.r, at.slope};
    };
    return fit_adaptively(sampler, {beside_the_end, constants::pi - beside_the_end, tolerance, most_samples});
}

/// One field over a range.
class FittedStack {
public:
    FittedStack(const LatticeProblem& problem, WavelengthRange range) : pitch_m_(problem.holes.pitch_m) {
        const Truncated cells = truncate(problem.holes, problem.field, range.from_m);
        step_ = cells.step;
        for (const Band& band : bands_of(problem, range))
            bands_.push_back({band, fit_stack(problem, cells.coarse, band), fit_stack(problem, cells.fine, band)});
    }

    [[nodiscard]] GapPoint at(double wavelength_m) const {
        const double nu = pitch_m_ / wavelength_m;
        const auto band =
            std::find_if(bands_.begin(), bands_.end() - 1, [&](const auto& b) { return nu <= b.band.high; });
        const double angle = band->band.angle(nu);
        const auto point = [&](const AdaptiveFit& fit) { return OverGap{fit.fits[0](angle), fit.fits[1](angle)}; };
        return limit(point(band->coarse), point(band->fine), step_, pitch_m_);
    }

private:
    struct FittedBand {
        Band band;
        AdaptiveFit coarse, fine;
    };
    double pitch_m_, step_ = 0.0;
    std::vector<FittedBand> bands_;
};

}  // namespace

std::function<GapPoint(double)> over_gaps(const LatticeLight& film, ComplexIndex below, double least_gap_m) {
    const double pitch = film.holes.pitch_m, nu = pitch / film.wavelength_m;
    const Layers layers = scaled_layers({film.layers}, pitch);
    return mean_of_fields(film.holes, [&](LightField field) -> ByPlace {
        const Truncated cells = truncate(film.holes, field, film.wavelength_m);
        const auto solved = [&](const CellMatrices& cell) {
            return std::make_shared<const SolvedStack>(
                solve_stack(cell, layers, below * below, nu, field, least_gap_m / pitch));
        };
        return [coarse = solved(cells.coarse), fine = solved(cells.fine), step = cells.step, pitch](double gap_m) {
            const auto point = [&](const SolvedStack& s) { return over_gap(s.film, s.surface, gap_m / pitch); };
            return limit(point(*coarse), point(*fine), step, pitch);
        };
    });
}

std::function<GapPoint(double)> over_gap_between(const HoleLattice& holes, const LayeredFilmAt& stack,
                                                 WavelengthRange range) {
    return mean_of_fields(holes, [&](LightField field) -> ByPlace {
        const auto fitted = std::make_shared<const FittedStack>(LatticeProblem{holes, stack, field}, range);
        return [fitted](double wavelength_m) { return fitted->at(wavelength_m); };
    });
}

}  // namespace tymbal
