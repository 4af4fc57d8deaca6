// Film over gap over substrate, by gap or by wavelength, with as many orders as cross the gap.
#pragma once

#include "tymbal/base/material.h"
#include "tymbal/light/gap_readout.h"
#include "tymbal/light/lines.h"
#include "tymbal/task/seen_film.h"

#include <functional>

namespace tymbal {

/// Is so much of the first orders left over this gap and back that they are solved with the zero one? Below, that one
/// alone crosses.
[[nodiscard]] bool couples(const Device& device, double wavelength_m, double gap_m);

struct GapLight {
    double wavelength_m = 0.0;
    double least_gap_m = 0.0;      ///< narrowest that will be asked
    FilmMove moved = {};           ///< the film from the design's
    double substrate_index = 0.0;  ///< added to that of the substrate
};

/// Any gap from the narrowest on. @param device  whose layers all have an index
/// @throws NoAnswer  when the substrate's row has no index
[[nodiscard]] std::function<GapPoint(double)> gap_light(const Device& device, const Materials& materials,
                                                        const GapLight& at);

/// One gap at any wavelength of a range; absorption is left at 0.
/// @param device, materials  must outlive what is returned
[[nodiscard]] std::function<GapPoint(double)> gap_light_between(const Device& device, const Materials& materials,
                                                                double gap_m, WavelengthRange range);

}  // namespace tymbal
