// What the released film with its lattice of holes does to light: mirror, lines, spot, spectrum.
#pragma once

#include "tymbal/base/material.h"
#include "tymbal/light/lines.h"
#include "tymbal/light/spot.h"
#include "tymbal/task/predict.h"
#include "tymbal/task/released_film.h"

#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace tymbal {

struct LightOptions {
    std::optional<WavelengthRange> range{};  ///< of lines and spectrum; by default from the diffraction limit to half
                                             ///< as long again, without holes half of the readout's wavelength round it
    int points = 501;                        ///< of the spectrum
    std::function<void()> keep_going{};      ///< called before each solution; what it throws ends the work
};

struct LightLine {
    ResonanceLine line;
    std::optional<LineSlopes> slopes;     ///< empty where a neighbouring lattice's line was not found
    std::optional<double> peak_m{};       ///< where its field reflects most; empty where truncation may move it by more
                                          ///< than a quarter of the width, or the range ends before
    double peak_reflectivity = 0.0;       ///< there: 1 for a clear film
    std::optional<double> deviation_m{};  ///< by stated deviations of pitch, hole, film thickness and index
    std::optional<LineOverGap> over_gap{};  ///< with the substrate below; empty without one, or where it was not found
};

struct PolarisedResponse {
    LightField field = LightField::along;  ///< of the lattice's first direction, which the design may have turned
    LatticeResponse response;
};

/// The film over what lies below it: every order crosses the gap.
struct StackLight {
    std::string below;      ///< row of the material table
    double gap_m = 0.0;     ///< empty
    double coupling = 0.0;  ///< what is left of the first orders over the gap and back; 0 without holes
    std::vector<PolarisedResponse> by_polarisation;
    LatticeResponse mean;  ///< powers of unpolarised light; transmission and diffracted_down go into the substrate
};

struct LightReport {
    std::string title, sha256;
    ReleasedFilm released;
    double wavelength_m = 0.0;  ///< of the readout
    bool holes = false;         ///< else a plain film
    double film_index = 1.0, film_extinction = 0.0;
    std::vector<PolarisedResponse> by_polarisation;
    LatticeResponse mean;             ///< powers of unpolarised light; amplitudes of the field along
    std::optional<StackLight> stack;  ///< empty where nothing lies below the film, or no gap is known
    WavelengthRange range;
    std::vector<LightLine> lines;
    std::optional<double> waist_m;  ///< readout.spot_radius
    std::optional<SpotResponse> spot;
    LatticeSpectrum spectrum;                  ///< of the field along
    std::optional<double> least_reflectivity;  ///< the design's limit
    std::optional<double> chance_to_reflect;   ///< that films within the stated deviations hold it; empty without any
    std::vector<SourceLine> sources;
    Warnings warnings;
};

/// Of the film alone, in vacuum, between its holes as they are after the release; beside it, at the readout's
/// wavelength and for the lines, of the film over gap and substrate.
/// @throws NoAnswer  a readout without wavelength, a list of holes, touching holes, a layer without an index, a range
///                   below the diffraction limit, a substrate without an index
[[nodiscard]] LightReport light(const Device& device, const Materials& materials, const LightOptions& options = {});

}  // namespace tymbal
