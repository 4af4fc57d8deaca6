// The outline that puts a mode on a wanted frequency, and how far size and film may be off.
#pragma once

#include "tymbal/task/predict.h"
#include "tymbal/task/progressed.h"
#include "tymbal/task/variation.h"

#include <array>
#include <optional>
#include <string>
#include <vector>

namespace tymbal {

/// What gives way to reach the frequency.
enum class Sizing {
    outline,            ///< all lengths of the outline together; holes keep size and pitch, their number follows
    outline_and_holes,  ///< the hole pattern is scaled with it
    width,              ///< rectangles: along x alone
    height,             ///< rectangles: along y alone
};

struct SizeWish {
    double frequency_hz = 0.0;
    std::string mode;  ///< "(1,1)", "1,1", a number by rising frequency, or empty: the lowest
    Sizing sizing = Sizing::outline;
};

/// A length of the design before and after.
struct SizedLength {
    std::string key;
    double before = 0.0;  ///< m
    double after = 0.0;
};

/// How far one input may be off, alone, for the frequency to stay within `SizedDesign::window`.
struct SizeTolerance {
    std::string input;      ///< "size", "film.stress" or "film.thickness"
    double weight = 0.0;    ///< d ln f / d ln input
    double relative = 0.0;  ///< window / |weight|; infinite when the input does not matter
    double value = 0.0;     ///< of the input, SI
    std::string unit;
    std::optional<double> known_to;  ///< relative deviation that the design gives the input
};

/// What to draw so that the etch sets the answer free: biases and the wet etch's growth taken off.
struct DrawnField {
    double hole_m = 0.0;                   ///< full width of a hole
    double width_m = 0.0, height_m = 0.0;  ///< of the field, outermost hole edge to edge
};

struct SizedDesign {
    std::string title, sha256;
    double target_hz = 0.0;
    int index = 0;
    std::string label;
    double frequency_hz = 0.0;
    double frequency_std_hz = 0.0;
    double discretisation_error_hz = 0.0;
    bool landed = false;    ///< within 1e-4 of the target
    std::string how;        ///< what had to give, or why only the nearest design is named
    double scale = 1.0;     ///< of the outline
    double accuracy = 0.0;  ///< of the solutions; finer than asked where steps of the grids stood in the way
    std::vector<SizedLength> lengths;
    Changes changes;  ///< of the design file, numbers rounded to 0.1 nm: they were solved as they are written
    long hole_count = 0;
    std::optional<DrawnField> drawn;  ///< where the outline is what the etch sets free
    double window = 0.01;
    std::vector<SizeTolerance> tolerances;
    int solutions = 0;  ///< designs that were solved on the way
    std::vector<SourceLine> sources;
};

/// Solves the full model until the mode, followed by its label, lies within 1e-4 of the frequency. Where a row of holes
/// appears at just that size the margin of the hole field gives way, the row is left out; where that does not serve,
/// the nearest design is the answer. The scale stays inside the design's [free] lengths.
/// @throws NoAnswer   no size does it; the text says between which sizes and frequencies was sought
/// @throws InputError a mode that the design does not have, or a side that the outline does not have
[[nodiscard]] SizedDesign size(const DeviceAt& device_at, const SizeWish& wish, const Materials& materials,
                               const Progressed& progressed = {}, const SolveEffort& large = {});

}  // namespace tymbal
