#include "tymbal/task/report.h"

#include "front_inside.h"
#include "holes_in_place.h"
#include "model_choice.h"

#include "tymbal/base/error.h"
#include "tymbal/geometry/front.h"
#include "tymbal/task/named_mode.h"
#include "tymbal/task/solved.h"

#include <cmath>

namespace tymbal {

namespace {

std::vector<Point> turned(std::vector<Point> corners, double angle) {
    const double c = std::cos(angle), s = std::sin(angle);
    for (Point& p : corners) p = {c * p.x - s * p.y, s * p.x + c * p.y};
    return corners;
}

Boundary edges_of(const std::vector<Opening>& openings) {
    Boundary all;
    int loop = 0;
    for (const Opening& opening : openings) {
        for (Edge edge : opening.figure) {
            edge.loop = loop;
            all.push_back(edge);
        }
        ++loop;
    }
    return all;
}

/// The lowest stands in, and is said to, for one that is not solved.
int index_of_target(const Device& device, Prediction& prediction) {
    for (const PredictedMode& m : prediction.modes)
        if (has_name(m.mode, device.target.mode)) return m.mode.index;
    prediction.warnings.push_back(
        {"target-not-solved", "the mode '" + device.target.mode + "' of [target] is not among the lowest " +
                                  std::to_string(prediction.modes.size()) +
                                  ", the page shows the lowest instead; raise solve.modes or name another"});
    return 1;
}

void add_release(Report& out, const Materials& materials, const Progressed& progressed) {
    try {
        out.release = release(out.design, materials, progressed);
    } catch (const NoAnswer& e) {
        out.release_missing = e.what();
    }
}

void add_light(const Materials& materials, Report& out) {
    if (!out.prediction.slab || out.prediction.slab->as != SeenAs::lattice) return;
    try {
        out.light = light(out.design, materials);
    } catch (const NoAnswer&) {  // the slab's figures stand without lines
    }
}

/// A spot beside the film is a fault of a design for the cavity alone; the page has all else to show.
void add_cavity(const Materials& materials, const SolvedDesign& solved, const Effort& effort, Report& out) {
    if (!out.design.cavity) return;
    try {
        out.cavity = see_cavity(out.design, materials, solved, out.prediction, effort);
    } catch (const NoAnswer& e) {
        out.cavity_missing = e.what();
    } catch (const InputError& e) {
        out.cavity_missing = e.key() + " " + e.message();
    }
}

}  // namespace

DesignDrawing draw_design(const Device& device) {
    DesignDrawing out;
    out.outline = boundary(device.outline);
    out.openings = edges_of(device.openings);
    if (!device.holes) return out;
    const PlacedHoles holes = holes_in_place(device);
    out.hole_centres = holes.centres;
    out.hole_size = holes.size;
    out.hole_corners = turned(figure(holes.shape, holes.size), holes.angle_rad);
    out.front = front_inside(device, holes);
    out.holes_resolved = choose_model(device).resolved;
    return out;
}

Report report(const Device& device, const Materials& materials, const std::optional<Measured>& measured,
              const Effort& effort, const Progressed& progressed) {
    // A comparison takes about ten times as long as the design alone, whose release about as long as its modes.
    const double own = measured ? 0.1 : 1.0, modes = device.release && device.holes ? 0.55 * own : 0.98 * own;
    const SolvedDesign solved = solve(device, effort);
    tell(progressed, modes);
    const StressMap stress = stress_map(device.outline, solved.laid.film, solved.set.fine);
    Report out{device, complete(device, materials, solved, stress), draw_design(device), stress, {}, {}, {}, {}, 1};
    add_cavity(materials, solved, effort, out);
    out.target_mode = index_of_target(device, out.prediction);
    add_light(materials, out);
    add_release(out, materials, part_of(progressed, modes, own));
    if (measured) out.comparison = compare({{device, *measured}}, materials, {}, part_of(progressed, own, 1.0));
    return out;
}

}  // namespace tymbal
