#include "plan_deviations.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace tymbal {

namespace {

template <class Q>
double relative(const std::optional<Sourced<Q>>& value) {
    return value && value->si() != 0.0 ? value->deviation_si() / std::abs(value->si()) : 0.0;
}

double assumed_deviation_hz(const Film& film, const Solid& row, const Mode& mode, const Sensitivity& s) {
    constexpr double stress = 0.03;
    const std::array<double, 5> parts{s.stress * stress, s.density * relative(row.density),
                                      s.modulus * relative(row.youngs_modulus),
                                      s.poisson_ratio * relative(row.poisson_ratio),
                                      s.thickness * film.thickness.deviation_si() / film.thickness.si()};
    double variance = 0.0;
    for (const double part : parts) variance += 0.25 * part * part;
    return mode.frequency_hz * std::sqrt(variance);
}

}  // namespace

bool states_nothing(const ModeSet& set) {
    return std::all_of(set.modes.begin(), set.modes.end(), [](const Mode& m) { return m.contributions.empty(); });
}

std::vector<double> frequency_deviations(const Device& device, const Materials& materials, const ModeSet& set,
                                         bool assumed) {
    const auto row = materials.solids.find(device.film.material);
    std::vector<double> out;
    for (std::size_t k = 0; k < set.modes.size(); ++k) {
        const Mode& mode = set.modes[k];
        const double inputs = assumed && row != materials.solids.end()
                                  ? assumed_deviation_hz(device.film, row->second, mode, set.sensitivities[k])
                                  : mode.frequency_std_hz;
        out.push_back(std::hypot(inputs, mode.discretisation_error_hz));
    }
    return out;
}

}  // namespace tymbal
