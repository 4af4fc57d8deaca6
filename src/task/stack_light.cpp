#include "stack_light.h"

#include "unpolarised.h"

#include "tymbal/task/seen_film.h"

namespace tymbal {

namespace {

LayeredFilm stack_at(const Device& device, const Materials& materials, double wavelength_m) {
    return {solid_layers(device.film, wavelength_m), device.release->gap.si(),
            substrate_index(device, materials, wavelength_m)};
}

LatticeResponse plain_stack(const LayeredFilm& stack, double wavelength_m) {
    std::vector<OpticalLayer> layers = stack.layers;
    layers.push_back({1.0, stack.gap_m});
    return as_lattice(respond({1.0, layers, *stack.below}, wavelength_m));
}

std::vector<PolarisedResponse> both_fields(const HoleLattice& holes, const LayeredFilm& stack, double wavelength_m) {
    const auto seen = [&](LightField field) {
        return PolarisedResponse{field, respond(holes, stack, wavelength_m, field)};
    };
    const PolarisedResponse along = seen(LightField::along);
    if (alike_along_and_across(holes)) return {along, {LightField::across, along.response}};
    return {along, seen(LightField::across)};
}

}  // namespace

bool has_stack(const Device& device, const Materials& materials) {
    return device.release && device.readout->below != "none" &&
           materials.solids.at(device.readout->below).index.has_value();
}

StackLight see_stack(const Device& device, const Materials& materials) {
    const double wavelength = device.readout->wavelength.si();
    const LayeredFilm stack = stack_at(device, materials, wavelength);
    StackLight out;
    out.below = device.readout->below;
    out.gap_m = stack.gap_m;
    if (device.holes) {
        const HoleLattice holes = lattice_of(*device.holes);
        out.coupling = coupling_across(holes, wavelength, stack.gap_m);
        out.by_polarisation = both_fields(holes, stack, wavelength);
    } else {
        const LatticeResponse plain = plain_stack(stack, wavelength);
        out.by_polarisation = {{LightField::along, plain}, {LightField::across, plain}};
    }
    out.mean = unpolarised(out.by_polarisation);
    return out;
}

void see_lines_over_gap(const Device& device, const Materials& materials, const LightOptions& options,
                        std::vector<LightLine>& lines) {
    std::vector<ResonanceLine> alone;
    for (const LightLine& line : lines) alone.push_back(line.line);
    const auto over = lines_over_gap(
        lattice_of(*device.holes),
        [&](double wavelength_m) {
            if (options.keep_going) options.keep_going();
            return stack_at(device, materials, wavelength_m);
        },
        alone);
    for (std::size_t k = 0; k < lines.size(); ++k) lines[k].over_gap = over[k];
}

}  // namespace tymbal
