// The lines of a film with a lattice of holes: the poles of what it reflects, and the spectrum that they make.
#pragma once

#include "tymbal/light/hole_lattice.h"

#include <optional>
#include <vector>

namespace tymbal {

struct WavelengthRange {
    double from_m = 0.0, to_m = 0.0;
};

/// What a guided wave's field along the film is: electric (TE) or magnetic (TM), told by the fields beside the film.
enum class Guided { te, tm };

/// One pole: exp(-i omega t) decays, omega = 2 pi c/wavelength (1 - i/(2 Q)). R = 1 lies beside it, by a tenth to a
/// third of the width.
struct ResonanceLine {
    Guided guided = Guided::te;
    std::optional<bool> even{};  ///< electric field along the film alike at both faces; empty where faces differ
    LightField field = LightField::along;  ///< that excites it; `along` where both do
    double wavelength_m = 0.0;
    double error_m = 0.0;  ///< of the wavelength, by truncation
    double width_m = 0.0;  ///< full width at half maximum
    double q = 0.0;
};

/// Every line with a Q of at least 8 (what is broader is the film's own interference), rising. Range: above the
/// diffraction limit of vacuum and substrate. Costs about a second for a square lattice.
/// @throws NoAnswer  as respond; a range that reaches below the diffraction limit
[[nodiscard]] std::vector<ResonanceLine> find_lines(const HoleLattice& holes, const LayeredFilmAt& film,
                                                    WavelengthRange range, Truncation truncation = {7.0, 9.0});

/// d wavelength of a line by what makes it; the index's own dispersion is part of all of them. For a constant index
/// wavelength = pitch * per_pitch + size * per_size + thickness * per_thickness.
struct LineSlopes {
    double per_pitch = 0.0, per_size = 0.0;
    double per_thickness = 0.0;  ///< of the lowest layer, the film itself
    double per_index_m = 0.0;    ///< of the same
};

/// @return one per line; empty where the neighbouring lattice's line was not found in the range
[[nodiscard]] std::vector<std::optional<LineSlopes>> line_slopes(const HoleLattice& holes, const LayeredFilmAt& film,
                                                                 WavelengthRange range,
                                                                 const std::vector<ResonanceLine>& lines);

/// A line of the film alone, once a substrate lies below it.
struct LineOverGap {
    double moved_m = 0.0;  ///< of the wavelength
    double width_m = 0.0;
    double error_m = 0.0;  ///< of both, by truncation
};

/// The poles of film, gap and substrate nearest to the lines of the film alone. What light sent back from the substrate
/// does to a line does not fade with the gap, it turns with it; what the order that clings to the film loses does.
/// @param stack  with gap and substrate
/// @return one per line; empty where no pole was found within two widths, of ten times its width at most
[[nodiscard]] std::vector<std::optional<LineOverGap>> lines_over_gap(const HoleLattice& holes,
                                                                     const LayeredFilmAt& stack,
                                                                     const std::vector<ResonanceLine>& lines);

struct LatticeSpectrum {
    std::vector<double> wavelength_m, reflectivity, transmission;  ///< zero order
    std::vector<double> error;                                     ///< by truncation and fit
    int solutions = 0;                                             ///< of the field equation, per truncation
};

/// Equal steps in wavelength, from rational fits between the wavelengths at which orders begin to run away.
/// @param points  at least 2
[[nodiscard]] LatticeSpectrum spectrum(const HoleLattice& holes, const LayeredFilmAt& film, WavelengthRange range,
                                       int points, LightField field = LightField::along);

}  // namespace tymbal
