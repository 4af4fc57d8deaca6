// What the released film with its lattice of holes does to light: mirror, lines, spot, spectrum.
#pragma once

#include "tymbal/light/lines.h"
#include "tymbal/light/spot.h"
#include "tymbal/task/predict.h"
#include "tymbal/task/released_film.h"

#include <optional>
#include <string>
#include <vector>

namespace tymbal {

struct LightOptions {
    std::optional<WavelengthRange> range{};  ///< of lines and spectrum; by default from the diffraction limit to half
                                             ///< as long again, without holes half of the readout's wavelength round it
    int points = 501;                        ///< of the spectrum
};

struct LightLine {
    ResonanceLine line;
    std::optional<LineSlopes> slopes;     ///< empty where a neighbouring lattice's line was not found
    std::optional<double> peak_m{};       ///< where its field reflects most; empty where truncation may move it by more
                                          ///< than a quarter of the width, or the range ends before
    double peak_reflectivity = 0.0;       ///< there: 1 for a clear film
    std::optional<double> deviation_m{};  ///< by stated deviations of pitch, hole, film thickness and index
};

struct PolarisedResponse {
    LightField field = LightField::along;  ///< of the lattice's first direction, which the design may have turned
    LatticeResponse response;
};

struct LightReport {
    std::string title, sha256;
    ReleasedFilm released;
    double wavelength_m = 0.0;  ///< of the readout
    bool holes = false;         ///< else a plain film
    double film_index = 1.0, film_extinction = 0.0;
    std::vector<PolarisedResponse> by_polarisation;
    LatticeResponse mean;  ///< powers of unpolarised light; amplitudes of the field along
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

/// Of the film alone, in vacuum, between its holes as they are after the release.
/// @throws NoAnswer  a readout without wavelength, a list of holes, touching holes, a layer without an index, a range
///                   below the diffraction limit
[[nodiscard]] LightReport light(const Device& device, const LightOptions& options = {});

}  // namespace tymbal
