#include "tymbal/task/report.h"

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

/// The front of a window's etch, which its outline does not show.
Boundary front_inside(const Design& design, const PlacedHoles& holes) {
    if (!design.release || std::holds_alternative<Released>(design.outline)) return {};
    const auto undercut = undercut_of(*design.release, design.film.material);
    if (!undercut || !(undercut->si() > 0.0)) return {};
    try {
        return front(holes, undercut->si());
    } catch (const NoAnswer&) {
        return {};  // fronts that just touch: the drawing goes without
    }
}

int index_of_target(const Design& design, const std::vector<PredictedMode>& modes) {
    for (const PredictedMode& m : modes)
        if (has_name(m.mode, design.target.mode)) return m.mode.index;
    return 1;
}

void add_release(Report& out, const Materials& materials) {
    try {
        out.release = release(out.design, materials);
    } catch (const NoAnswer& e) {
        out.release_missing = e.what();
    }
}

}  // namespace

DesignDrawing draw_design(const Design& design) {
    DesignDrawing out;
    out.outline = boundary(design.outline);
    if (!design.holes) return out;
    const PlacedHoles holes = holes_in_place(design);
    out.hole_centres = holes.centres;
    out.hole_size = holes.size;
    out.hole_corners = turned(figure(holes.shape, holes.size), holes.angle_rad);
    out.front = front_inside(design, holes);
    return out;
}

Report report(const Design& design, const Materials& materials, const std::optional<Measured>& measured,
              const Effort& effort) {
    const SolvedDesign solved = solve(design, effort);
    Report out{design,
               complete(design, materials, solved),
               draw_design(design),
               stress_map(design.outline, solved.laid.film, solved.set.fine),
               {},
               {},
               {},
               1};
    out.target_mode = index_of_target(design, out.prediction.modes);
    add_release(out, materials);
    if (measured) out.comparison = compare({{design, *measured}}, materials, {});
    return out;
}

}  // namespace tymbal
