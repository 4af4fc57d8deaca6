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
    double doubt = std::abs(biaxial * mismatch * warming);
    constexpr double constant_above_k = 200.0;
    if (std::min(stated_k, device_k) < constant_above_k) doubt = std::hypot(doubt, shift);
    return {Stress::from_si(stress.si() + shift),
            Stress::from_si(std::hypot(stress.deviation_si(), doubt)),
            {stress.source().citation + ", shifted to the device temperature by the thermal mismatch with the chip",
             Origin::derived}};
}

}  // namespace tymbal
