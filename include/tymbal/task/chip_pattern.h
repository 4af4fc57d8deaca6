// A whole chip as the mask writer gets it: every device in place, label, names, marks, frame and witnesses.
#pragma once

#include "tymbal/task/chip_design.h"
#include "tymbal/task/pattern.h"

#include <optional>
#include <string>
#include <vector>

namespace tymbal {

struct ChipPatternOptions {
    std::vector<Witness> witnesses{};  ///< made from the first device that has holes
    int most_corners = most_corners_of_old_readers;
    std::string label{};                 ///< empty: that of [marks], else the chip's title
    std::vector<FilledShape> picture{};  ///< the figure that [marks] names, as wide as wanted, about its own centre
};

struct ChipPatternDevice {
    std::string name;
    std::string design_file;
    Point position;      ///< wanted, from the chip's centre
    DrawnPoint at;       ///< drawn, on the address grid
    DrawnBox box;        ///< round all that hangs free, on the chip
    Pattern pattern;     ///< without its drawing; nothing but sizes for a film without holes and openings
    bool blank = false;  ///< such a film: the mask has nothing of it
};

/// How close two things on the chip come in the bath.
struct ChipClearance {
    std::string one, other;  ///< names; "the chip's edge"
    double apart_m = 0.0;    ///< of their fronts at the largest undercut
};

struct ChipPattern {
    std::string title, sha256;
    std::string fingerprint;  ///< of the chip file and its designs, in all names of cells
    int grid = 1;
    std::vector<ChipPatternDevice> devices;
    std::vector<PatternCheck> checks;  ///< over all that is drawn
    [[nodiscard]] bool printable() const {
        return std::all_of(checks.begin(), checks.end(), [](const PatternCheck& c) { return c.held; });
    }
    double largest_undercut_m = 0.0;  ///< 0: not known
    std::string undercut_from;        ///< the key that gives it
    std::optional<ChipClearance> closest_fronts;
    std::optional<ChipClearance> closest_edge;
    std::string label;  ///< as drawn; empty without room
    int crosses = 0, squares = 0;
    std::size_t picture_figures = 0;
    std::vector<PlacedWitness> witnesses;
    Drawing drawing;  ///< origin: the chip's centre; the last cell is the chip
    Warnings warnings;
};

/// @throws NoAnswer for figures or fronts that meet or leave the chip, and as draw_pattern does, naming the device
/// @throws InputError for a label or name with a letter that has no strokes, and names the letter
[[nodiscard]] ChipPattern draw_chip(const ChipDesign& chip, const ChipPatternOptions& options);

}  // namespace tymbal
