// What plan pictures share: a frame of pixels, axes with ticks, a scale bar, a key.
#pragma once

#include "svg_shapes.h"

#include <string>
#include <vector>

namespace tymbal {

namespace plan_colours {
inline constexpr const char* ink = "#222222";
inline constexpr const char* sheet = "#ffffff";
inline constexpr const char* free_film = "#9ec5de";
inline constexpr const char* held_film = "#e3e0d8";
inline constexpr const char* open = sheet;
inline constexpr const char* edge = "#1f3f57";
inline constexpr const char* front = "#c2571a";
inline constexpr const char* patch = "#d9a93f";
inline constexpr const char* spot = "#a3195b";
inline constexpr const char* mark = "#33691e";
inline constexpr const char* no_figure = "#bbbbbb";  // a device without one, on a map coloured by a figure
}  // namespace plan_colours

/// Colour of a device whose figure lies so far between least (0) and most (1): from light to dark.
[[nodiscard]] std::string map_shade(double share);

/// Rules of a page that give these pictures, inside class `drawn`, the colours of a dark screen.
[[nodiscard]] std::string dark_plan_rules();

/// A picture's place for the plan, pixels, and the plan's frame.
struct PlanCanvas {
    Frame frame;
    double left = 64.0, top = 40.0;
    double width = 0.0, height = 0.0;  ///< of the plan
    double unit_m = 1e-6;              ///< of the axes
    std::string unit = "um";
};

struct KeyEntry {
    std::string fill, stroke, words;
    bool dashed = false;
};

/// A canvas that shows the box with a margin (relative to its larger side) in at most 760 by 640 pixels.
[[nodiscard]] PlanCanvas plan_canvas(const Box& box, double margin, bool millimetres);

/// `<svg ...>` with title, axes and a group that is moved to the plan and cut off at its edge. @param lines  of the key
[[nodiscard]] std::string open_plan(const PlanCanvas& canvas, const std::string& title, std::size_t lines);

/// Ends the plan's group, adds axes, scale bar and key, ends the picture.
[[nodiscard]] std::string close_plan(const PlanCanvas& canvas, const std::vector<KeyEntry>& key);

}  // namespace tymbal
