#include "device_figures.h"

#include "tymbal/base/error.h"
#include "tymbal/geometry/strip.h"
#include "tymbal/pattern/hole_sites.h"
#include "tymbal/pattern/widths.h"

#include "coarser_lattice.h"
#include "holes_in_place.h"
#include "split_holes.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <limits>

namespace tymbal {

namespace {

constexpr double least_trench_m = 2e-6;  // beside a strip

/// What is drawn is known when it was read from a file: the uncertainty then grows step by step.
void know_drawn(const Process& process, HoleSizes& sizes) {
    const double printed = 2.0 * process.lithography_bias.deviation_si();
    sizes.drawn.deviation = 0.0;
    sizes.printed.deviation = printed;
    sizes.etched.deviation = std::hypot(printed, 2.0 * process.etch_bias.deviation_si());
}

HoleSize recession(const Device& device) {
    return device.release ? wall_recession(*device.release, device.film.material) : HoleSize{};
}

HoleSizes sizes_of(const Device& device) {
    HoleSizes sizes = hole_sizes(device.holes->size, device.process, recession(device));
    if (device.holes->size.source().origin == Origin::derived && device.process) know_drawn(*device.process, sizes);
    return sizes;
}

/// Of an edge, from drawn to released.
double growth_of(const Device& device) {
    const double wet = recession(device).width;
    return device.process ? wet + device.process->lithography_bias.si() + device.process->etch_bias.si() : wet;
}

[[noreturn]] void refuse_meeting_holes(const std::optional<PatternProposal>& instead) {
    std::string text =
        "the drawn holes meet: the process shrinks them by more than the ligament between them; use a larger pitch, "
        "smaller holes or a process with less bias";
    char figures[120];
    if (instead) {
        std::snprintf(figures, sizeof figures, "; of the same open fraction, holes of %.5g um at a pitch of %.5g um",
                      1e6 * instead->hole_m, 1e6 * instead->pitch_m);
        text.append(figures).append(" can be drawn");
    }
    throw NoAnswer(text);
}

/// Over holes and openings together.
void check_features(const Device& device, const LeastWidths& least, Pattern& out) {
    for (const auto& [name, width] : {std::pair("least width", least.width_m), std::pair("least gap", least.gap_m)})
        if (std::isfinite(width)) out.checks.push_back(width_check(name, width, least_feature_m(device)));
    const std::string whose = out.openings ? "figures" : "holes";
    for (const PatternCheck& c : out.checks)
        if (!c.held)
            out.warnings.push_back({"below-least-feature", "the " + c.name + " of the drawn " + whose +
                                                               " is below process.least_feature: the writer may not "
                                                               "print them as drawn"});
}

/// The design's openings, and the trenches that let a strip's sides go.
std::vector<Figure> figures_to_open(const Device& device, double growth_m) {
    std::vector<Figure> all;
    for (const Opening& o : device.openings) all.push_back(o.figure);
    const auto* strip = std::get_if<Strip>(&device.outline);
    if (strip == nullptr) return all;
    const double width = strip->width.si();
    const double trench = std::max({width, least_trench_m, 2.0 * (least_feature_m(device) + growth_m)});
    for (const Figure& f : trenches(*strip, trench)) all.push_back(f);
    return all;
}

/// Cell of the openings and of the holes that meet them, which `holes` then holds apart from the others.
LeastWidths draw_openings_of(const Device& device, const PatternOptions& options, SplitHoles& holes, Pattern& out) {
    DrawnOpenings drawn;
    drawn.growth_m = growth_of(device);
    drawn.growth_deviation_m = growth_deviation(device);
    std::vector<Figure> open = figures_to_open(device, drawn.growth_m);
    drawn.wanted = open.size();
    if (device.holes) {
        holes = split_holes(*device.holes, holes.apart, open);
        for (const Figure& f : figures(placed(*device.holes, holes.meeting))) open.push_back(f);
    }
    drawn.holes = holes.meeting.size();
    drawn.regions = draw_openings({open, drawn.growth_m, out.grid});
    drawn.released_area_m2 = united_area_m2(open);
    DrawnCell cell{"OPENINGS", {}, {}};
    for (const DrawnRegion& r : drawn.regions) {
        drawn.drawn_area_m2 += area_m2(r);
        for (DrawnFigure& f : pieces(r, Layer::openings, options.most_corners, out.grid))
            cell.figures.push_back(std::move(f));
    }
    drawn.figures = cell.figures.size();
    out.drawing.cells.push_back(std::move(cell));
    out.openings = std::move(drawn);
    return least_widths(out.openings->regions);
}

LeastWidths draw_holes(const Device& device, const PatternOptions& options, const std::vector<Hole>& holes,
                       Pattern& out) {
    const HolePattern& pattern = *device.holes;
    const DrawnSites drawn = snap_sites(holes, out.figure, out.grid);
    out.largest_shift_m = drawn.largest_shift_m;
    out.hole_count = static_cast<long>(drawn.sites.size());
    LeastWidths least{out.figure.least_width_m, least_gap_m(out.figure, drawn.sites)};
    if (least.gap_m <= 0.0)
        refuse_meeting_holes(pattern.lattice == Lattice::list ? std::nullopt : coarser_lattice(device, options, out));
    if (out.openings) least.gap_m = std::min(least.gap_m, least_gap_m(out.figure, drawn.sites, out.openings->regions));
    const std::size_t hole = out.drawing.cells.size();
    out.drawing.cells.push_back({"HOLE", {{Layer::holes, out.figure.corners}}, {}});
    out.drawing.cells.push_back({"ALL_HOLES", {}, gather(drawn.sites, hole)});
    out.holes_cell = hole + 1;
    out.placements = out.drawing.cells.back().placements.size();
    return least;
}

void require_apart(const LeastWidths& least) {
    if (least.gap_m <= 0.0)
        throw NoAnswer(
            "drawn figures meet on the address grid that the design keeps apart; use a finer grid or more film "
            "between");
}

}  // namespace

int address_grid(const Device& device) {
    if (!device.process || !device.process->address_grid) return 1;
    return static_cast<int>(std::lround(device.process->address_grid->si() / drawn_unit_m));
}

double least_feature_m(const Device& device) {
    return device.process && device.process->least_feature ? device.process->least_feature->si() : 0.0;
}

double growth_deviation(const Device& device) {
    const double wet = recession(device).deviation;
    if (!device.process) return wet;
    return std::hypot(wet, device.process->lithography_bias.deviation_si(), device.process->etch_bias.deviation_si());
}

Outline plain_outline(const Device& device) {
    const Released* released = std::get_if<Released>(&device.outline);
    if (released == nullptr) return device.outline;
    const Box box = bounding_box(released->front);
    const Source source{"box of the released area", Origin::derived};
    const auto length = [&](double metres) { return Sourced<Length>(Length::from_si(metres), Length{}, source); };
    return Rectangle{length(box.high.x - box.low.x), length(box.high.y - box.low.y), Length{}};
}

WitnessBasis witness_basis(const Device& device, const Pattern& drawn, int most_corners) {
    return {*device.holes,
            plain_outline(device),
            drawn.sizes.drawn.width,
            0.5 * (drawn.sizes.released.width - drawn.sizes.drawn.width),
            growth_deviation(device),
            least_feature_m(device),
            drawn.grid,
            most_corners};
}

PatternCheck width_check(const char* name, double width_m, double limit_m) {
    if (limit_m <= 0.0) return {name, width_m, std::nullopt, true};
    // Widths lie on the grid: a millionth of slack is for their arithmetic.
    return {name, width_m, limit_m, width_m >= limit_m * (1.0 - 1e-6)};
}

void draw_device(const Device& device, const PatternOptions& options, Pattern& out) {
    constexpr double none = std::numeric_limits<double>::infinity();
    LeastWidths least{none, none};
    std::vector<std::size_t> parts;
    SplitHoles holes;
    if (device.holes) holes.apart = place(*device.holes, device.outline);
    if (!device.openings.empty() || std::holds_alternative<Strip>(device.outline)) {
        least = draw_openings_of(device, options, holes, out);
        parts.push_back(out.drawing.cells.size() - 1);
    }
    if (device.holes) {
        out.shape = device.holes->shape;
        out.sizes = sizes_of(device);
        out.figure =
            draw_hole({out.shape, out.sizes.drawn.width, device.holes->angle_rad, out.grid, options.most_corners});
    }
    if (!holes.apart.empty()) {
        const LeastWidths own = draw_holes(device, options, holes.apart, out);
        least = {std::min(least.width_m, own.width_m), std::min(least.gap_m, own.gap_m)};
        parts.push_back(out.holes_cell);
    }
    require_apart(least);
    check_features(device, least, out);
    if (!out.printable() && out.hole_count > 0) out.proposal = coarser_lattice(device, options, out);
    DrawnCell whole{"DEVICE", {}, {}};
    for (const std::size_t part : parts) whole.placements.push_back({part, {0, 0}, 1, 1, {}, {}});
    out.drawing.cells.push_back(std::move(whole));
}

}  // namespace tymbal
