// A device: what hangs free, as released. One struct per section, each owned by the physics that uses it.
#pragma once

#include "tymbal/cavity/cavity.h"
#include "tymbal/film/film.h"
#include "tymbal/film/patch.h"
#include "tymbal/geometry/holes.h"
#include "tymbal/geometry/openings.h"
#include "tymbal/geometry/outline.h"
#include "tymbal/quality/budget.h"
#include "tymbal/readout/readout.h"
#include "tymbal/release/hole_sizes.h"
#include "tymbal/release/release.h"

#include <array>
#include <optional>
#include <string>
#include <vector>

namespace tymbal {

/// [limits] that predict checks and prints margins for.
struct Limits {
    std::optional<Length> least_ligament;
    std::optional<double> least_fracture_margin;
    std::optional<double> least_collapse_margin;  ///< in the liquid of release.drying
    std::optional<Time> largest_release_time;
    std::optional<Length> largest_film_loss;  ///< mean over the suspended film, both faces
    std::optional<Length> largest_over_etch;  ///< undercut beyond the one that clears the last oxide
    std::optional<Frequency> least_qf;
    std::optional<double> least_reflectivity;
    std::optional<double> least_chance_to_reflect;      ///< at least that much, by stated deviations
    std::optional<Frequency> least_g0;                  ///< single-photon coupling over 2 pi, of the target's mode
    std::optional<double> least_cooperativity;          ///< single-photon cooperativity of the same
    std::optional<std::array<Frequency, 2>> frequency;  ///< window for the target's mode
};

/// What `choose` makes as large as it can, of the target's mode.
enum class Aim {
    qf,
    g0,            ///< single-photon coupling, needs a cavity
    cooperativity  ///< of a single photon, needs a cavity
};

/// [target]: what size and choose aim at.
struct Target {
    std::string mode;  ///< label or number, empty: the lowest
    std::optional<Frequency> frequency;
    Aim aim = Aim::qf;
};

/// One line of [free]: a key and how far it may move, or the names it may take.
struct FreeKey {
    std::string key;
    double low = 0.0;  ///< SI
    double high = 0.0;
    std::vector<std::string> names;  ///< empty for numbers
};

enum class Model { averaged, resolved, automatic };

/// How light sees a lattice of holes.
enum class LightModel {
    automatic,  ///< by Fourier modes of the cell, in their limits by what is left of them: see task/seen_film.h
    averaged    ///< an effective index whatever the pitch, for comparison
};

struct Solve {
    Model model = Model::automatic;
    int modes = 12;
    double accuracy = 1e-3;
    double near_hz = 0.0;  ///< the modes nearest to this frequency; 0: the lowest
    LightModel light = LightModel::automatic;
    std::optional<Length> within{};  ///< radius round the origin in which a mode's motion is counted
};

struct Device {
    std::string title;
    std::string file;    ///< as given by the user
    std::string sha256;  ///< of the file's bytes, hex
    Film film;           ///< material row joined with the design's overrides: thickness as released, stress at the
                         ///< device temperature
    Outline outline;
    std::optional<HolePattern> holes;
    std::optional<Release> release;
    std::optional<FilmLoss> film_loss;  ///< by the wet etch; already taken off film.thickness
    std::optional<Process> process;
    std::optional<Chip> chip;
    std::optional<Surroundings> surroundings;
    std::optional<Readout> readout;
    std::optional<Cavity> cavity;
    Limits limits;
    Target target;
    std::vector<FreeKey> free;
    Solve solve;
    std::string hole_file;             ///< that the holes were read from; empty when they are in the design itself
    std::vector<Opening> openings{};   ///< single ones beside the lattice; only the resolved model sees them
    std::vector<FilmPatch> patches{};  ///< layers over parts of the film; their areas do not overlap
};

}  // namespace tymbal
