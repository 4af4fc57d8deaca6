// The frequencies of a solved design as functions of its film and sizes, without solving again.
#pragma once

#include <array>
#include <string>
#include <vector>

#include <Eigen/Dense>

namespace tymbal {

/// A predicted mode. Its omega^2 is a sum of three parts that rise with the film stress s as s (membrane tension),
/// sqrt(s) (bending layer at the clamped rim, sqrt(D N)) and not at all (bending of the interior).
struct Line {
    int index = 0;  ///< of the mode, from 1
    std::string label;
    double frequency_hz = 0.0;
    double numerics = 0.0;                       ///< relative error of the solution, one sigma
    double visibility = 0.5;                     ///< chance that a measurement of this band shows it
    double pull = 1.0, layer = 0.0, bend = 0.0;  ///< the three parts, sum 1
    double tilt = 0.0;                           ///< share of the tension along x less that along y, -1 to 1
    int twin = -1;                ///< position of the line that x and y swapped would make of it, -1: none
    int neighbour = -1;           ///< position of the line that unequal stress mixes with this one, -1: none
    double mixing = 0.0;          ///< coupling of the two per unit tilt of the stress, of omega^2
    double growth = 0.0;          ///< d ln f per metre that every clamped edge lies further out (over-etch), 1/m
    std::vector<double> weights;  ///< d ln f / d ln input, in the order of LineModel::inputs; of sizes along one axis
                                  ///< what remains beside the three parts
};

/// Along which direction alone an input stretches the outline.
enum class Axis { none, x, y };

/// What devices of one chip have in common of an input.
enum class Sharing {
    none,    ///< each device has its own
    factor,  ///< value over design: properties of the film
    change   ///< value less design: what a clean-room step adds to every hole
};

/// An input of the design other than the film stress, known with one relative sigma.
struct Input {
    std::string name;  ///< design key
    double value = 0.0;
    double deviation = 0.0;  ///< relative; 0: taken as exact
    Axis axis = Axis::none;
    Sharing sharing = Sharing::none;
};

/// The clamped edge, where an etch may have gone further than the design says.
struct Rim {
    std::string name = "outline.growth";  ///< or "release.undercut", when the etch front is the edge
    double value = 0.0;                   ///< designed undercut, m; 0 for drawn edges
    double deviation = 0.0;               ///< one sigma of the undercut, m; 0: not stated
};

struct LineModel {
    std::vector<Line> lines;  ///< by rising frequency
    std::vector<Input> inputs;
    Rim rim = {};
    std::array<double, 2> place_m = {};  ///< of the device on its chip, from the chip's centre
};

/// Where a film may differ from the design.
struct Shift {
    double stress = 0.0;     ///< ln of the mean stress over the design's
    double tilt = 0.0;       ///< (s_x - s_y)/(s_x + s_y)
    double growth_m = 0.0;   ///< outward shift of every clamped edge
    Eigen::VectorXd inputs;  ///< ln of each input over the design's; may be empty: all as designed
    double across = 0.0;     ///< ln of the stress at this device over the one at the chip's centre
};

/// ln(f) of every line, in the order of `model.lines`. Stress enters exactly within the three parts; tilt and sizes
/// along one axis scale the tension's energy along x and along y, near-degenerate pairs mix in full (2 x 2); growth g
/// divides f by 1 - f'g/f, as it does exactly on a square membrane; the other inputs are power laws.
[[nodiscard]] Eigen::VectorXd log_frequencies(const LineModel& model, const Shift& shift);

/// d ln f / d growth of a line where its edges lie `growth_m` further out.
[[nodiscard]] double growth_slope(const Line& line, double growth_m);

}  // namespace tymbal
