#include "gap_light.h"

#include "tymbal/light/coupled_gap.h"

namespace tymbal {

bool couples(const Device& device, double wavelength_m, double gap_m) {
    constexpr double notable = 1e-4;
    return seen_as(device, wavelength_m) == SeenAs::lattice && device.readout->below != "none" &&
           coupling_across(lattice_of(*device.holes), wavelength_m, gap_m) > notable;
}

std::function<GapPoint(double)> gap_light(const Device& device, const Materials& materials, const GapLight& at) {
    const ComplexIndex below = substrate_index(device, materials, at.wavelength_m) + at.substrate_index;
    if (couples(device, at.wavelength_m, at.least_gap_m))
        return over_gaps(lattice_light(device, at.wavelength_m, at.moved), below, at.least_gap_m);
    const FilmOverGap stack{see_film(device, at.wavelength_m, see_lattice, at.moved)->seen, below, at.wavelength_m};
    return [stack](double gap_m) { return at_gap(stack, gap_m); };
}

std::function<GapPoint(double)> gap_light_between(const Device& device, const Materials& materials, double gap_m,
                                                  WavelengthRange range) {
    const auto below = [&](double wavelength_m) { return substrate_index(device, materials, wavelength_m); };
    if (couples(device, range.from_m, gap_m) && seen_as(device, range.to_m) == SeenAs::lattice)
        return over_gap_between(
            lattice_of(*device.holes),
            [&device, gap_m, below](double l) {
                return LayeredFilm{solid_layers(device.film, l), gap_m, below(l)};
            },
            range);
    return [film = see_film_between(device, range.from_m, range.to_m), gap_m, below](double l) {
        return at_gap({film(l), below(l), l}, gap_m);
    };
}

}  // namespace tymbal
