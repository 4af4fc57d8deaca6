#include "tymbal/light/film_light.h"

#include "tymbal/base/constants.h"

#include <algorithm>

namespace tymbal {

namespace {

std::vector<OpticalLayer> upside_down(const std::vector<OpticalLayer>& layers) {
    return {layers.rbegin(), layers.rend()};
}

FieldResponse see_field(const LatticeLight& seen, LightField field, Truncation truncation) {
    const LatticeResponse r = respond(seen.holes, {seen.layers}, seen.wavelength_m, field, truncation);
    FieldResponse out{r.r,          r.r,    r.t, r.reflectivity, r.transmission, r.diffracted_up + r.diffracted_down,
                      r.absorption, r.error};
    if (seen.layers.size() > 1)
        out.back = respond(seen.holes, {upside_down(seen.layers)}, seen.wavelength_m, field, truncation).r;
    return out;
}

}  // namespace

SeenFilm unpolarised(const FieldResponse& along, const FieldResponse& across) {
    const auto mean = [&](double FieldResponse::*power) { return 0.5 * (along.*power + across.*power); };
    return {along,
            across,
            mean(&FieldResponse::reflectivity),
            mean(&FieldResponse::transmission),
            mean(&FieldResponse::diffracted),
            mean(&FieldResponse::absorption),
            std::max(along.error, across.error)};
}

SeenFilm see_layers(const std::vector<OpticalLayer>& layers, double wavelength_m) {
    const StackResponse s = respond({1.0, layers, 1.0}, wavelength_m);
    FieldResponse out{s.r, s.r, s.t, s.reflectivity, s.transmission, 0.0, s.absorption, 0.0};
    if (layers.size() > 1) out.back = respond({1.0, upside_down(layers), 1.0}, wavelength_m).r;
    return unpolarised(out, out);
}

SeenFilm see_truncated(const LatticeLight& seen, Truncation truncation) {
    const FieldResponse along = see_field(seen, LightField::along, truncation);
    return unpolarised(along,
                       alike_along_and_across(seen.holes) ? along : see_field(seen, LightField::across, truncation));
}

SeenFilm see_lattice(const LatticeLight& seen) {
    return see_truncated(seen, {});
}

SeenFilm see_wide_holes(const std::vector<OpticalLayer>& layers, double open, double wavelength_m) {
    const FieldResponse solid = see_layers(layers, wavelength_m).along;
    double thickness = 0.0;
    for (const OpticalLayer& layer : layers) thickness += layer.thickness_m;
    const double phase = 2.0 * constants::pi * thickness / wavelength_m;
    FieldResponse out;
    // Light that meets a hole is reflected nowhere; the reference plane of `back` is the lower face for both.
    out.front = (1.0 - open) * solid.front;
    out.back = (1.0 - open) * solid.back;
    out.through = (1.0 - open) * solid.through + open * std::polar(1.0, phase);
    out.reflectivity = std::norm(out.front);
    out.transmission = std::norm(out.through);
    out.absorption = (1.0 - open) * solid.absorption;
    out.diffracted = 1.0 - out.reflectivity - out.transmission - out.absorption;
    return unpolarised(out, out);
}

}  // namespace tymbal
