#include "tymbal/light/stack.h"

#include "tymbal/base/constants.h"

namespace tymbal {

StackResponse respond(const OpticalStack& stack, double wavelength_m) {
    const std::complex<double> i(0.0, 1.0);
    // Tangential fields (E, H) at the lowest surface for a wave of amplitude one below, carried up layer by layer.
    std::complex<double> e = 1.0, h = stack.below;
    for (auto layer = stack.layers.rbegin(); layer != stack.layers.rend(); ++layer) {
        const std::complex<double> phase = layer->index * (2.0 * constants::pi / wavelength_m * layer->thickness_m);
        const std::complex<double> c = std::cos(phase), s = -i * std::sin(phase);
        const std::complex<double> upper = c * e + s / layer->index * h;
        h = layer->index * s * e + c * h;
        e = upper;
    }
    const std::complex<double> incoming = 0.5 * (e + h / stack.above);
    StackResponse out;
    out.r = 0.5 * (e - h / stack.above) / incoming;
    out.t = 1.0 / incoming;
    out.reflectivity = std::norm(out.r);
    out.transmission = stack.below.real() / stack.above.real() * std::norm(out.t);
    out.absorption = 1.0 - out.reflectivity - out.transmission;
    return out;
}

}  // namespace tymbal
