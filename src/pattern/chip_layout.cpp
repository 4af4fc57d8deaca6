#include "tymbal/pattern/chip_layout.h"

#include "tymbal/base/error.h"
#include "tymbal/pattern/marks.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

/// Rounded up to an even multiple of the grid, so that half of it lies on the grid too.
int even(double metres, int grid) {
    return 2 * grid * static_cast<int>(std::ceil(metres / drawn_unit_m / (2 * grid) - 1e-6));
}

std::size_t add(Drawing& drawing, DrawnCell cell) {
    drawing.cells.push_back(std::move(cell));
    return drawing.cells.size() - 1;
}

DrawnBox moved(const DrawnBox& box, DrawnPoint by) {
    return {{box.low.x + by.x, box.low.y + by.y}, {box.high.x + by.x, box.high.y + by.y}};
}

DrawnBox shrunk(const DrawnBox& box, int by) {
    return {{box.low.x + by, box.low.y + by}, {box.high.x - by, box.high.y - by}};
}

double shorter_side_m(const DrawnBox& box) {
    return drawn_unit_m * std::min(box.high.x - box.low.x, box.high.y - box.low.y);
}

bool lies_in(const DrawnBox& inner, const DrawnBox& outer) {
    return inner.low.x >= outer.low.x && inner.low.y >= outer.low.y && inner.high.x <= outer.high.x &&
           inner.high.y <= outer.high.y;
}

void add_frame(const ChipBasis& b, int width, Drawing& drawing, ChipLayout& layout) {
    if (!lies_in(b.membrane, shrunk(b.chip, width))) {
        layout.warnings.push_back({"no-frame", "the membrane reaches into the chip's frame, which is left out"});
        return;
    }
    const std::size_t cell = add(drawing, {"FRAME", frame(Layer::frame, b.chip, width), {}});
    layout.placements.push_back({cell, {0, 0}, 1, 1, {}, {}});
}

/// One in each corner of what the frame leaves.
void add_crosses(const ChipBasis& b, Drawing& drawing, ChipLayout& layout) {
    const double length_m = std::min(0.05 * shorter_side_m(b.chip), 200e-6);
    const int length = even(length_m, b.grid);
    const int width = even(std::max(0.05 * length_m, 2.0 * b.least_feature_m), b.grid);
    const DrawnBox centres = shrunk(layout.room.inside, length / 2);
    std::vector<Placement> crosses;
    for (const int x : {centres.low.x, centres.high.x})
        for (const int y : {centres.low.y, centres.high.y}) crosses.push_back({0, {x, y}, 1, 1, {}, {}});
    const DrawnBox own{{-length / 2, -length / 2}, {length / 2, length / 2}};
    const bool fit = width < length && std::all_of(crosses.begin(), crosses.end(), [&](const Placement& p) {
                         return is_free(layout.room, moved(own, p.at));
                     });
    if (!fit) {
        layout.warnings.push_back(
            {"no-crosses", "the chip has no room for alignment crosses in its corners; they are left out"});
        return;
    }
    const std::size_t cell = add(drawing, {"CROSS", {cross(Layer::marks, length, width)}, {}});
    for (Placement& p : crosses) {
        p.cell = cell;
        layout.room.taken.push_back(moved(own, p.at));
        layout.placements.push_back(p);
    }
    layout.crosses = static_cast<int>(crosses.size());
}

/// Largest squares of 20, 10, 5 and 2.5 um (and twice the least feature) with which the label finds room.
void add_label(const ChipBasis& b, Drawing& drawing, ChipLayout& layout) {
    if (b.label.empty()) return;
    for (const double wanted_m : {20e-6, 10e-6, 5e-6, 2.5e-6}) {
        const int square = even(std::max(wanted_m, 2.0 * b.least_feature_m), b.grid);
        const std::vector<DrawnFigure> figures = lettering(Layer::label, b.label, square);
        const int width = lettering_columns(b.label) * square, height = lettering_rows * square;
        const auto at = find_room(layout.room, width, height, layout.room.inside.low);
        if (figures.empty() || !at) continue;
        layout.placements.push_back({add(drawing, {"LABEL", figures, {}}), *at, 1, 1, {}, {}});
        layout.room.taken.push_back(moved({{0, 0}, {width, height}}, *at));
        layout.label = b.label;
        return;
    }
    layout.warnings.push_back(
        {"no-label", "the chip has no room for its label, or none of its letters can be drawn; it is left out"});
}

}  // namespace

ChipLayout lay_out_chip(const ChipBasis& b, Drawing& drawing) {
    ChipLayout layout;
    const int frame_width = even(std::max(std::min(0.002 * shorter_side_m(b.chip), 20e-6), b.least_feature_m), b.grid);
    const int clearance = even(b.clearance_m, b.grid);
    layout.room = {shrunk(b.chip, frame_width + clearance), clearance, {b.membrane}};
    add_frame(b, frame_width, drawing, layout);
    add_crosses(b, drawing, layout);
    add_label(b, drawing, layout);
    return layout;
}

PlacedWitness place_witness(Witness witness, const WitnessBlock& block, const ChipBasis& b, ChipLayout& layout,
                            Drawing& drawing) {
    const int square = even(std::max(2.5e-6, 2.0 * b.least_feature_m), b.grid);
    const DrawnBox own = extent(drawing, block.cell);
    const int above = lettering_rows * square + layout.room.clearance;
    const int width = std::max(own.high.x - own.low.x, lettering_columns(block.caption) * square);
    const int height = own.high.y - own.low.y + above;
    const DrawnPoint membrane{(b.membrane.low.x + b.membrane.high.x) / 2, (b.membrane.low.y + b.membrane.high.y) / 2};
    const auto at = find_room(layout.room, width, height, membrane);
    if (!at)
        throw NoAnswer("the chip has no room left for the witness " + to_string(witness) + " (" + block.caption +
                       "); leave it out or make the chip larger");
    std::string name = "CAPTION_" + drawable(block.caption);
    std::replace(name.begin(), name.end(), ' ', '_');
    const std::size_t caption = add(drawing, {name, lettering(Layer::witnesses, block.caption, square), {}});
    layout.placements.push_back({caption, *at, 1, 1, {}, {}});
    layout.placements.push_back({block.cell, {at->x - own.low.x, at->y + above - own.low.y}, 1, 1, {}, {}});
    const DrawnBox box = moved({{0, 0}, {width, height}}, *at);
    layout.room.taken.push_back(box);
    return {witness, block.caption, box, block.rungs, block.rung_deviation_m};
}

}  // namespace tymbal
