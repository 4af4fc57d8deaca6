#include "tymbal/files/plan_picture.h"

#include "figures.h"
#include "plan_canvas.h"
#include "plan_shapes.h"

#include <algorithm>

namespace tymbal {

namespace {

std::vector<KeyEntry> key_of(const Device& device, const DevicePlan& plan, const Frame& frame) {
    namespace c = plan_colours;
    const bool field = std::holds_alternative<Released>(device.outline);
    std::vector<KeyEntry> key{{c::free_film, c::edge, field ? "film set free by the etch" : "film that hangs free"},
                              {c::held_film, "none", "film on the wafer"}};
    const std::size_t holes = plan.hole_centres.size();
    const std::string count = std::to_string(holes).append(holes == 1 ? " hole " : " holes ");
    if (holes > 0 && draws_holes(plan, frame))
        key.push_back({c::open, c::edge, count + with_prefix(plan.hole_size, "m", 3) + " wide, as released"});
    else if (holes > 0)
        key.push_back({"none", c::edge, "field of " + count + with_prefix(plan.hole_size, "m", 3) + " wide", true});
    if (!plan.openings.empty())
        key.push_back({c::open, c::edge,
                       std::holds_alternative<Strip>(device.outline) ? "trenches beside the strip" : "openings"});
    if (!plan.patches.empty()) key.push_back({c::patch, "none", "layers on a part of the film"});
    if (!plan.front.empty()) key.push_back({"none", c::front, "reach of the etch", true});
    if (device.readout) key.push_back({"none", c::spot, "light: 1/e^2 radius of intensity"});
    return key;
}

std::string spot_of(const Device& device, const Frame& frame) {
    if (!device.readout) return "";
    const Readout& r = *device.readout;
    return "<circle cx=\"" + coordinate(frame.x(r.position.x)) + "\" cy=\"" + coordinate(frame.y(r.position.y)) +
           "\" r=\"" + coordinate(frame.scale * r.spot_radius.si()) + "\" fill=\"none\" stroke=\"" +
           plan_colours::spot + "\" stroke-width=\"1.5\"/>\n";
}

}  // namespace

std::string plan_picture(const Device& device) {
    const DevicePlan plan = device_plan(device, true);
    const PlanCanvas canvas = plan_canvas(extent_of(plan), 0.06, false);
    const std::vector<KeyEntry> key = key_of(device, plan, canvas.frame);
    return open_plan(canvas, device.title.empty() ? "(no title)" : device.title, key.size()) +
           "<rect width=\"100%\" height=\"100%\" fill=\"" + plan_colours::held_film + "\"/>\n" +
           device_shapes(plan, canvas.frame, plan_colours::free_film) + spot_of(device, canvas.frame) +
           close_plan(canvas, key);
}

}  // namespace tymbal
