#include "tymbal/task/pattern.h"

#include "device_figures.h"

#include "tymbal/base/error.h"
#include "tymbal/geometry/strip.h"
#include "tymbal/pattern/marks.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

constexpr double usual_clearance_m = 50e-6;

/// A label that leads back to the design file.
std::string label_of(const Device& device, const PatternOptions& options) {
    if (!options.label.empty()) return drawable(options.label);
    const std::string title = drawable(device.title).substr(0, 40), fingerprint = drawable(device.sha256.substr(0, 8));
    return title.empty() ? fingerprint : title + " " + fingerprint;
}

bool has_chip(const Device& device) {
    return device.chip && device.chip->width.si() > 0.0 && device.chip->length.si() > 0.0;
}

int snapped(double metres, int grid) {
    return grid * static_cast<int>(std::lround(metres / drawn_unit_m / grid));
}

/// Ten times the undercut that sets the film free.
double clearance_m(const Device& device) {
    const auto undercut = device.release ? undercut_of(*device.release, device.film.material) : std::nullopt;
    const double usual = device.holes ? usual_undercut_m(*device.holes) : undercut ? undercut->si() : 0.0;
    return std::max(usual_clearance_m, 10.0 * usual);
}

/// Round the outline and the openings, which may reach beyond it.
Box box_round(const Device& device) {
    std::vector<Point> corners;
    const auto add = [&corners](const Box& box) { corners.insert(corners.end(), {box.low, box.high}); };
    add(bounding_box(boundary(plain_outline(device))));
    for (const Opening& o : device.openings) add(bounding_box(o.figure));
    if (const auto* strip = std::get_if<Strip>(&device.outline))
        for (const Figure& f : free_sides(*strip)) add(bounding_box(f));
    return bounding_box(corners);
}

ChipBasis chip_basis(const Device& device, const PatternOptions& options, int grid) {
    const Chip& chip = *device.chip;
    const Box box = box_round(device);
    const auto point = [grid](double x, double y) { return DrawnPoint{snapped(x, grid), snapped(y, grid)}; };
    const double w = 0.5 * chip.width.si(), l = 0.5 * chip.length.si();
    return {{point(-chip.position.x - w, -chip.position.y - l), point(-chip.position.x + w, -chip.position.y + l)},
            {point(box.low.x, box.low.y), point(box.high.x, box.high.y)},
            label_of(device, options),
            clearance_m(device),
            least_feature_m(device),
            grid};
}

/// Each witness once, in the order of the enumeration.
std::vector<Witness> wanted_witnesses(const PatternOptions& options) {
    std::vector<Witness> wanted;
    for (const Witness w : all_witnesses())
        if (std::count(options.witnesses.begin(), options.witnesses.end(), w) > 0) wanted.push_back(w);
    return wanted;
}

std::vector<Placement> furnish_chip(const Device& device, const PatternOptions& options, Pattern& out) {
    const ChipBasis basis = chip_basis(device, options, out.grid);
    ChipLayout layout = lay_out_chip(basis, out.drawing);
    const WitnessBasis own = witness_basis(device, out, options.most_corners);
    for (const Witness witness : wanted_witnesses(options))
        for (const WitnessBlock& block : draw_witness(witness, own, out.drawing))
            out.witnesses.push_back(place_witness(witness, block, basis, layout, out.drawing));
    out.crosses = layout.crosses;
    out.label = layout.label;
    out.warnings.insert(out.warnings.end(), layout.warnings.begin(), layout.warnings.end());
    return layout.placements;
}

template <class Q>
SourceLine source_line(const char* quantity, const Sourced<Q>& value) {
    const Source& source = value.source();
    const bool plain = source.origin == Origin::design;
    return {quantity, value.si(), value.deviation_si(), "m",
            plain ? source.citation : source.citation + " (" + to_string(source.origin) + ")"};
}

std::vector<SourceLine> sources_of(const Device& device) {
    std::vector<SourceLine> lines;
    if (device.holes) lines.push_back(source_line("holes.size", device.holes->size));
    if (!device.process) return lines;
    lines.push_back(source_line("process.lithography_bias", device.process->lithography_bias));
    lines.push_back(source_line("process.etch_bias", device.process->etch_bias));
    return lines;
}

void warn(const Device& device, Pattern& out) {
    if (!device.process)
        out.warnings.push_back({"no-process",
                                "the design has no [process]: holes and openings are drawn as large as they "
                                "are to be released"});
    else
        out.warnings.push_back({"dose-test",
                                "drawn sizes are the wanted ones less the biases of [process]; they are as "
                                "good as the dose test that gave the biases, for this writer, resist and size"});
    if (!device.process || !device.process->address_grid)
        out.warnings.push_back({"no-grid",
                                "the design has no process.address_grid: corners lie on whole nanometres and "
                                "the writer rounds them to its own grid"});
    if (std::holds_alternative<Strip>(device.outline))
        out.warnings.push_back({"free-sides",
                                "the strip's long sides are let go by a trench along each, from end to end; for others "
                                "give openings in a rectangle"});
    if (!has_chip(device))
        out.warnings.push_back({"no-chip",
                                "the design has no [chip] with width and length: frame, crosses and label "
                                "are left out"});
}

}  // namespace

Pattern draw_pattern(const Device& device, const PatternOptions& options) {
    const bool strip = std::holds_alternative<Strip>(device.outline);
    if (!device.holes && device.openings.empty() && !strip)
        throw NoAnswer(
            "the film has neither holes nor openings: there is nothing to draw; give [holes] or [[openings]]");
    if (!options.witnesses.empty() && !has_chip(device))
        throw NoAnswer("witnesses need a chip to stand on; give chip.width and chip.length");
    if (!options.witnesses.empty() && !device.holes)
        throw NoAnswer("witnesses are made from the holes of a design, and this one has none; leave them out");
    Pattern out;
    out.title = device.title;
    out.sha256 = device.sha256;
    out.grid = address_grid(device);
    draw_device(device, options, out);
    std::vector<Placement> whole{{out.drawing.cells.size() - 1, {0, 0}, 1, 1, {}, {}}};
    if (has_chip(device)) {
        const std::vector<Placement> furniture = furnish_chip(device, options, out);
        whole.insert(whole.end(), furniture.begin(), furniture.end());
    }
    out.drawing.cells.push_back({"CHIP", {}, whole});
    out.sources = sources_of(device);
    warn(device, out);
    return out;
}

}  // namespace tymbal
