#include "tymbal/page/plan_picture.h"
#include "tymbal/mask/read_picture.h"

#include "../text/figures.h"
#include "../text/markup.h"
#include "plan_canvas.h"
#include "plan_shapes.h"

#include <algorithm>
#include <limits>

namespace tymbal {

namespace {

std::vector<KeyEntry> key_of(const Device& device, const DeviceShapes& plan, const Frame& frame) {
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

}  // namespace

std::string plan_picture(const Device& device) {
    const DeviceShapes plan = device_plan(device, true);
    const PlanCanvas canvas = plan_canvas(extent_of(plan), 0.06, false);
    const std::vector<KeyEntry> key = key_of(device, plan, canvas.frame);
    return open_plan(canvas, device.title.empty() ? "(no title)" : device.title, key.size()) +
           "<rect width=\"100%\" height=\"100%\" fill=\"" + plan_colours::held_film + "\"/>\n" +
           device_shapes(plan, canvas.frame, plan_colours::free_film) + spot_shape(device, canvas.frame) +
           close_plan(canvas, key);
}

namespace {

struct Scale {
    double low = std::numeric_limits<double>::infinity();
    double high = -std::numeric_limits<double>::infinity();
};

Scale scale_of(const MapFigure& figure) {
    Scale s;
    for (const auto& v : figure.values)
        if (v) s = {std::min(s.low, *v), std::max(s.high, *v)};
    return s;
}

std::string colour_of(const std::optional<MapFigure>& figure, std::size_t device) {
    if (!figure) return plan_colours::free_film;
    if (device >= figure->values.size() || !figure->values[device]) return plan_colours::no_figure;
    const Scale s = scale_of(*figure);
    return map_shade(s.high > s.low ? (*figure->values[device] - s.low) / (s.high - s.low) : 0.5);
}

/// The frame in which a device's own coordinates land at its place on the chip.
Frame frame_at(const Frame& chip, Point place) {
    Frame f = chip;
    f.box = {{chip.box.low.x - place.x, chip.box.low.y - place.y},
             {chip.box.high.x - place.x, chip.box.high.y - place.y}};
    return f;
}

std::string rectangle(const Frame& f, const Box& b, const std::string& look) {
    return "<rect x=\"" + coordinate(f.x(b.low.x)) + "\" y=\"" + coordinate(f.y(b.high.y)) + "\" width=\"" +
           coordinate(f.scale * (b.high.x - b.low.x)) + "\" height=\"" + coordinate(f.scale * (b.high.y - b.low.y)) +
           "\" " + look + "/>\n";
}

std::string name_below(const Frame& frame, const Box& box, const ChipDevice& d) {
    const double x = frame.x(d.position.x + 0.5 * (box.low.x + box.high.x)), y = frame.y(d.position.y + box.low.y);
    return "<text x=\"" + coordinate(x) + "\" y=\"" + coordinate(y + 12.0) +
           "\" text-anchor=\"middle\" font-size=\"10\">" + markup_text(d.name) + "</text>\n";
}

std::string device_on_map(const ChipDevice& d, const Frame& frame, const std::string& film, bool linked) {
    const DeviceShapes plan = device_plan(d.device, false);
    std::string out = "<g><title>" + markup_text(d.name + ": " + d.device.title) + "</title>\n" +
                      device_shapes(plan, frame_at(frame, d.position), film) + name_below(frame, extent_of(plan), d) +
                      "</g>\n";
    if (!linked) return out;
    return "<a href=\"#device-" + markup_text(d.name) + "\">" + out + "</a>\n";
}

std::string marks_on_map(const ChipDesign& chip, const Frame& frame) {
    const std::string look = std::string("fill=\"") + plan_colours::mark + "\"";
    const ChipMarks& m = chip.marks;
    std::string out;
    const auto box = [&](Point c, double w, double h) {
        out += rectangle(frame, {{c.x - 0.5 * w, c.y - 0.5 * h}, {c.x + 0.5 * w, c.y + 0.5 * h}}, look);
    };
    for (const Point& c : m.crosses) {
        box(c, 2.0 * m.cross_arm_m, m.cross_width_m);
        box(c, m.cross_width_m, 2.0 * m.cross_arm_m);
    }
    for (const Point& c : m.squares) box(c, m.square_side_m, m.square_side_m);
    return out;
}

std::vector<KeyEntry> key_of(const ChipDesign& chip, const std::optional<MapFigure>& figure) {
    std::vector<KeyEntry> key;
    if (!figure) {
        key.push_back({plan_colours::free_film, plan_colours::edge, "film that hangs free"});
    } else {
        const Scale s = scale_of(*figure);
        if (s.low <= s.high) {
            key.push_back({map_shade(0.0), plan_colours::edge, figure->words + ": " + plain(s.low, 4)});
            if (s.high > s.low)
                key.push_back({map_shade(1.0), plan_colours::edge, figure->words + ": " + plain(s.high, 4)});
        }
    }
    if (!chip.marks.crosses.empty() || !chip.marks.squares.empty())
        key.push_back({plan_colours::mark, "none", "crosses and squares"});
    if (!chip.marks.picture.empty()) key.push_back({"none", plan_colours::mark, "place of the picture", true});
    return key;
}

}  // namespace

std::string plan_picture(const ChipDesign& chip, const std::optional<MapFigure>& figure, bool linked) {
    const double w = 0.5 * chip.chip.width.si(), l = 0.5 * chip.chip.length.si();
    const Box edge{{-w, -l}, {w, l}};
    const PlanCanvas canvas = plan_canvas(edge, 0.02, true);
    const Frame& frame = canvas.frame;
    const std::vector<KeyEntry> key = key_of(chip, figure);
    const std::string held =
        std::string("fill=\"") + plan_colours::held_film + "\" stroke=\"" + plan_colours::ink + "\"";
    std::string out = open_plan(canvas, chip.title.empty() ? "(no title)" : chip.title, key.size()) +
                      rectangle(frame, edge, held) + marks_on_map(chip, frame);
    if (!chip.marks.picture.empty()) {
        const Point c = chip.marks.picture_position;
        const Box box = extent_of(read_picture(chip.marks.picture, chip.marks.picture_width_m));
        out += rectangle(frame, {{c.x + box.low.x, c.y + box.low.y}, {c.x + box.high.x, c.y + box.high.y}},
                         std::string("fill=\"none\" stroke=\"") + plan_colours::mark + "\" stroke-dasharray=\"4 3\"");
    }
    for (std::size_t k = 0; k < chip.devices.size(); ++k)
        out += device_on_map(chip.devices[k], frame, colour_of(figure, k), linked);
    return out + close_plan(canvas, key);
}

}  // namespace tymbal
