#include "tymbal/film/thermal_stress.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

Sourced<Stress> stress_at(const Sourced<Stress>& stress, double stated_k, double device_k,
                          const Sourced<Stress>& modulus, const Sourced<Ratio>& poisson_ratio,
                          const Sourced<ThermalExpansion>& film, const Sourced<ThermalExpansion>& frame) {
    const double warming = device_k - stated_k;
    if (warming == 0.0) return stress;
    const double biaxial = modulus.si() / (1.0 - poisson_ratio.si());
    const double shift = -biaxial * (film.si() - frame.si()) * warming;
    const double mismatch = std::hypot(film.deviation_si(), frame.deviation_si());
    constexpr double constant_above_k = 200.0;
    const double cold = std::abs(std::min(stated_k, constant_above_k) - std::min(device_k, constant_above_k));
    const double faded = 0.5 * std::hypot(film.si(), frame.si());  // each known to half of itself down there
    const double doubt = biaxial * std::hypot(mismatch * warming, faded * cold);
    return {Stress::from_si(stress.si() + shift),
            Stress::from_si(std::hypot(stress.deviation_si(), doubt)),
            {stress.source().citation + ", shifted to the device temperature by the thermal mismatch with the chip",
             Origin::derived}};
}

}  // namespace tymbal
