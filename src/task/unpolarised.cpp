#include "unpolarised.h"

#include <algorithm>

namespace tymbal {

LatticeResponse as_lattice(const StackResponse& plain) {
    LatticeResponse out;
    out.r = plain.r;
    out.t = plain.t;
    out.reflectivity = plain.reflectivity;
    out.transmission = plain.transmission;
    out.absorption = plain.absorption;
    return out;
}

LatticeResponse unpolarised(const std::vector<PolarisedResponse>& both) {
    LatticeResponse out = both.front().response;
    const LatticeResponse& other = both.back().response;
    const auto mean = [](double& a, double b) { a = 0.5 * (a + b); };
    mean(out.reflectivity, other.reflectivity);
    mean(out.transmission, other.transmission);
    mean(out.diffracted_up, other.diffracted_up);
    mean(out.diffracted_down, other.diffracted_down);
    mean(out.absorption, other.absorption);
    out.error = std::max(out.error, other.error);
    return out;
}

}  // namespace tymbal
