// How long in which bath brings a line of the released film to the laser, and what film is left then.
#pragma once

#include "tymbal/task/light.h"

#include <optional>
#include <string>
#include <vector>

namespace tymbal {

struct TuneRequest {
    double to_m = 0.0;                   ///< wavelength that the line shall have
    std::optional<double> measured_m{};  ///< where the line was seen; empty: as predicted
};

struct TuneBath {
    std::string etchant, title, hazard;
    double minutes = 0.0;
    double minutes_std = 0.0;  ///< of the rate on the film; the line's own deviation beside it is TuneReport's
    std::string source;        ///< of the rate
};

struct TunedMode {
    std::string label;
    double before_hz = 0.0, after_hz = 0.0;
};

struct TuneReport {
    std::string title, sha256;
    TuneRequest asked;
    ResonanceLine line;        ///< as predicted
    double thickness_m = 0.0;  ///< of the film now: the design's, or the one that would put the line where it was seen
    double per_face_m = 0.0;   ///< to take off, on each face and each wall of a hole
    double thickness_after_m = 0.0, hole_after_m = 0.0;
    double line_after_m = 0.0, width_after_m = 0.0;
    double line_after_std_m =
        0.0;                 ///< by stated deviations without a measured line; by the rates where it was measured
    double stress_pa = 0.0;  ///< as before: the etch takes film, not stress
    std::vector<TunedMode> modes;
    std::vector<TuneBath> baths;  ///< those of the table with a rate on this film, fastest first
    Warnings warnings;
};

/// An etch on both faces and in the holes moves lines to the blue: the film gets thinner and its holes wider. The line
/// is that next to the measured one, else the nearest to the red of the wavelength asked for.
/// @throws NoAnswer  as light; no holes, layers on the film, no such line, a line that would have to move to the red,
/// no
///                   film left, or no bath with a known rate
[[nodiscard]] TuneReport tune_line(const Device& device, const Materials& materials, const TuneRequest& request);

}  // namespace tymbal
