// One device in a plan picture: its shapes as SVG, at any scale and place.
#pragma once

#include "plan_canvas.h"

#include "tymbal/task/device.h"

#include <string>
#include <vector>

namespace tymbal {

/// What a plan shows of a device, m about the device's origin.
struct DeviceShapes {
    Boundary outline;
    Boundary front;  ///< of the etch, where it is not the outline
    std::vector<Figure> openings;
    std::vector<Point> hole_centres, hole_corners;
    double hole_size = 0.0;
    std::vector<Polyline> patches;
};

/// @param fronts  whether to find the front of a window's etch
[[nodiscard]] DeviceShapes device_plan(const Device& device, bool fronts);

/// Round all that is drawn.
[[nodiscard]] Box extent_of(const DeviceShapes& plan);

/// Whether each hole is drawn at this scale; else their field is hatched.
[[nodiscard]] bool draws_holes(const DeviceShapes& plan, const Frame& frame);

/// The light's spot; nothing without a readout.
[[nodiscard]] std::string spot_shape(const Device& device, const Frame& frame);

/// @param film  colour of the film that hangs free
[[nodiscard]] std::string device_shapes(const DeviceShapes& plan, const Frame& frame, const std::string& film);

}  // namespace tymbal
