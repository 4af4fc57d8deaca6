#include "tymbal/pattern/witness.h"

#include "tymbal/base/error.h"
#include "tymbal/geometry/lattice.h"
#include "tymbal/pattern/hole_sites.h"
#include "tymbal/pattern/marks.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace tymbal {

namespace {

int on_grid(double metres, int grid) {
    return grid * static_cast<int>(std::lround(metres / drawn_unit_m / grid));
}
int on_grid_or_more(double metres, int grid) {
    return grid * static_cast<int>(std::ceil(metres / drawn_unit_m / grid - 1e-6));
}

std::size_t add(Drawing& drawing, DrawnCell cell) {
    drawing.cells.push_back(std::move(cell));
    return drawing.cells.size() - 1;
}

/// Strip k is to come free at k fifths of the usual undercut; film left between two slots is narrower than drawn by the
/// growth of both.
WitnessBlock draw_ruler(const WitnessBasis& b, Drawing& drawing) {
    constexpr int strips = 10;
    const double usual = usual_undercut_m(b.holes);
    const int slot = on_grid_or_more(std::max(b.least_feature_m, b.drawn_width_m), b.grid);
    const int length = on_grid(std::max(20.0 * 2.0 * usual, 50e-6), b.grid);
    WitnessBlock block{0, "undercut", {}, b.growth_deviation_m};
    DrawnCell cell{"UNDERCUT_RULER", {}, {}};
    int left = 0;
    const auto add_slot = [&] {
        cell.figures.push_back({Layer::witnesses, corners_of({{left, 0}, {left + slot, length}})});
        left += slot;
    };
    for (int k = 1; k <= strips; ++k) {
        const int width = on_grid(0.4 * k * usual + 2.0 * b.growth_m, b.grid);
        const double frees_at = 0.5 * (width * drawn_unit_m - 2.0 * b.growth_m);
        if (width <= 0 || width * drawn_unit_m < b.least_feature_m || frees_at <= 0.0) continue;
        if (block.rungs.empty()) add_slot();
        left += width;
        add_slot();
        block.rungs.push_back(frees_at);
    }
    if (block.rungs.empty())
        throw NoAnswer("no strip of the undercut ruler is as wide as process.least_feature; leave the ruler out");
    block.cell = add(drawing, std::move(cell));
    return block;
}

/// Columns of five holes, drawn at half to one and a half times the pattern's size in tenths.
WitnessBlock draw_hole_ladder(const WitnessBasis& b, Drawing& drawing) {
    constexpr int holes = 5;
    constexpr double coarsest = 6.0;  // grid steps: below, the grid decides the size
    const int step = on_grid(4.0 * b.drawn_width_m, b.grid);
    WitnessBlock block{0, "holes", {}, 0.0};
    DrawnCell cell{"HOLE_LADDER", {}, {}};
    for (int tenths = 5; tenths <= 15; ++tenths) {
        const double width = 0.1 * tenths * b.drawn_width_m;
        if (width < b.least_feature_m || width < coarsest * b.grid * drawn_unit_m) continue;
        const HoleFigure hole = draw_hole({b.holes.shape, width, b.holes.angle_rad, b.grid, b.most_corners});
        const std::size_t number =
            add(drawing,
                {std::string("LADDER_HOLE_").append(std::to_string(tenths)), {{Layer::witnesses, hole.corners}}, {}});
        const int rung = static_cast<int>(block.rungs.size());
        cell.placements.push_back({number, {rung * step, 0}, 1, holes, {0, 0}, {0, step}});
        block.rungs.push_back(hole.width_m);
    }
    if (block.rungs.empty())
        throw NoAnswer("no hole of the ladder is as wide as process.least_feature; leave the ladder out");
    block.cell = add(drawing, std::move(cell));
    return block;
}

WitnessBlock draw_control(const WitnessBasis& b, Drawing& drawing) {
    const Box box = bounding_box(boundary(b.outline));
    const int width = on_grid(box.high.x - box.low.x, b.grid), height = on_grid(box.high.y - box.low.y, b.grid);
    const int line = on_grid_or_more(std::max(2.0 * b.least_feature_m, 5e-6), b.grid);
    const int arm = std::max(4 * line, on_grid(0.1 * std::min(width, height) * drawn_unit_m, b.grid));
    const DrawnBox outer{{0, 0}, {width + 2 * line, height + 2 * line}};
    return {
        add(drawing, {"CONTROL", corner_angles(Layer::witnesses, outer, std::min(arm, outer.high.x / 2), line), {}}),
        "control",
        {},
        0.0};
}

Outline scaled(const Outline& outline, double by) {
    const auto length = [by](const Sourced<Length>& l) {
        return Sourced<Length>(by * l.value(), by * l.deviation(), l.source());
    };
    if (const auto* r = std::get_if<Rectangle>(&outline))
        return Rectangle{length(r->width), length(r->height), by * r->corner_radius};
    if (const auto* d = std::get_if<Disc>(&outline)) return Disc{length(d->diameter)};
    if (const auto* a = std::get_if<Ring>(&outline)) return Ring{length(a->outer_diameter), length(a->inner_diameter)};
    if (const auto* s = std::get_if<Strip>(&outline)) return Strip{length(s->length), length(s->width)};
    Polygon polygon = std::get<Polygon>(outline);
    for (Point& p : polygon.vertices) p = {by * p.x, by * p.y};
    return polygon;
}

/// The same holes in outlines of half the area, a quarter and twice: frequencies by factors of sqrt 2, 2 and 1/sqrt 2.
std::vector<WitnessBlock> draw_size_ladder(const WitnessBasis& b, Drawing& drawing) {
    if (b.holes.lattice == Lattice::list)
        throw NoAnswer("a list of holes has no other size; the size ladder needs a lattice, leave it out");
    const HoleFigure hole = draw_hole({b.holes.shape, b.drawn_width_m, b.holes.angle_rad, b.grid, b.most_corners});
    const std::size_t number = add(drawing, {"LADDER_HOLE", {{Layer::witnesses, hole.corners}}, {}});
    std::vector<WitnessBlock> blocks;
    for (const double by : {0.5, std::sqrt(0.5), std::sqrt(2.0)}) {
        HolePattern holes = b.holes;
        if (holes.field) holes.field = {by * (*holes.field)[0], by * (*holes.field)[1]};
        const auto sites = snap_sites(place_holes(holes, boundary(scaled(b.outline, by))), hole, b.grid).sites;
        const std::string which = std::to_string(blocks.size() + 1);
        const std::size_t cell = add(drawing, {"SIZE_LADDER_" + which, {}, gather(sites, number)});
        blocks.push_back({cell, "size " + which, {by}, 0.0});
    }
    return blocks;
}

}  // namespace

std::string to_string(Witness witness) {
    switch (witness) {
        case Witness::undercut_ruler: return "undercut-ruler";
        case Witness::hole_ladder: return "hole-ladder";
        case Witness::control: return "control";
        case Witness::size_ladder: return "size-ladder";
    }
    throw std::logic_error("to_string: unhandled witness");
}

const std::vector<Witness>& all_witnesses() {
    static const std::vector<Witness> all{Witness::undercut_ruler, Witness::hole_ladder, Witness::control,
                                          Witness::size_ladder};
    return all;
}

double usual_undercut_m(const HolePattern& holes) {
    const double half = 0.5 * holes.size.si(), pitch = holes.pitch.si();
    switch (holes.lattice) {
        case Lattice::square: return pitch / std::sqrt(2.0) - half;
        case Lattice::triangular: return pitch / std::sqrt(3.0) - half;
        case Lattice::honeycomb: return pitch - half;
        case Lattice::list: return holes.size.si();
    }
    throw std::logic_error("usual_undercut_m: unhandled lattice");
}

std::vector<WitnessBlock> draw_witness(Witness witness, const WitnessBasis& basis, Drawing& drawing) {
    switch (witness) {
        case Witness::undercut_ruler: return {draw_ruler(basis, drawing)};
        case Witness::hole_ladder: return {draw_hole_ladder(basis, drawing)};
        case Witness::control: return {draw_control(basis, drawing)};
        case Witness::size_ladder: return draw_size_ladder(basis, drawing);
    }
    throw std::logic_error("draw_witness: unhandled witness");
}

}  // namespace tymbal
