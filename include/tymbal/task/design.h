// A whole design as read: one struct per section, each owned by the physics that uses it.
#pragma once

#include "tymbal/film/film.h"
#include "tymbal/geometry/holes.h"
#include "tymbal/geometry/outline.h"
#include "tymbal/optomechanics/readout.h"
#include "tymbal/quality/budget.h"
#include "tymbal/release/hole_sizes.h"

#include <array>
#include <optional>
#include <string>

namespace tymbal {

/// The part of [release] that predict uses: what lies under the film.
struct ReleaseGap {
    Length gap;
    std::string sacrificial;  ///< material row, empty when not said
};

/// [limits] that predict checks and prints margins for.
struct Limits {
    std::optional<Length> least_ligament;
    std::optional<double> least_fracture_margin;
    std::optional<Frequency> least_qf;
    std::optional<std::array<Frequency, 2>> frequency;  ///< window for the lowest mode (no [target] yet)
};

enum class Model { averaged, resolved, automatic };

struct Solve {
    Model model = Model::automatic;
    int modes = 12;
    double accuracy = 1e-3;
};

struct Design {
    std::string title;
    std::string file;    ///< as given by the user
    std::string sha256;  ///< of the file's bytes, hex
    Film film;           ///< material row joined with the design's overrides, stress at the device temperature
    Outline outline;
    std::optional<HolePattern> holes;
    std::optional<ReleaseGap> release;
    std::optional<Process> process;
    std::optional<Chip> chip;
    std::optional<Surroundings> surroundings;
    std::optional<Readout> readout;
    std::optional<Cavity> cavity;
    Limits limits;
    Solve solve;
    std::string hole_file;  ///< that the holes were read from; empty when they are in the design itself
};

}  // namespace tymbal
