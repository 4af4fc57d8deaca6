#include "tymbal/task/pattern.h"

#include "tymbal/base/error.h"
#include "tymbal/geometry/lattice.h"
#include "tymbal/geometry/pillars.h"
#include "tymbal/pattern/hole_sites.h"
#include "tymbal/pattern/marks.h"
#include "tymbal/task/effective_film.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

namespace tymbal {

namespace {

constexpr double usual_clearance_m = 50e-6;

int address_grid(const Device& device) {
    if (!device.process || !device.process->address_grid) return 1;
    return static_cast<int>(std::lround(device.process->address_grid->si() / drawn_unit_m));
}

double least_feature_m(const Device& device) {
    return device.process && device.process->least_feature ? device.process->least_feature->si() : 0.0;
}

/// What the etch will have set free counts as its box: witnesses are smaller rectangles of the same pattern.
Outline plain_outline(const Device& device) {
    const Released* released = std::get_if<Released>(&device.outline);
    if (released == nullptr) return device.outline;
    const Box box = bounding_box(released->front);
    const Source source{"box of the released area", Origin::derived};
    const auto length = [&](double metres) { return Sourced<Length>(Length::from_si(metres), Length{}, source); };
    return Rectangle{length(box.high.x - box.low.x), length(box.high.y - box.low.y), Length{}};
}

/// What is drawn is known when it was read from a file: the uncertainty then grows step by step.
void know_drawn(const Process& process, HoleSizes& sizes) {
    const double printed = 2.0 * process.lithography_bias.deviation_si();
    sizes.drawn.deviation = 0.0;
    sizes.printed.deviation = printed;
    sizes.etched.deviation = std::hypot(printed, 2.0 * process.etch_bias.deviation_si());
}

HoleSizes sizes_of(const Device& device) {
    const HoleSize wet = device.release ? wall_recession(*device.release, device.film.material) : HoleSize{};
    HoleSizes sizes = hole_sizes(device.holes->size, device.process, wet);
    if (device.holes->size.source().origin == Origin::derived && device.process) know_drawn(*device.process, sizes);
    return sizes;
}

PatternCheck check(const char* name, double width_m, double limit_m) {
    if (limit_m <= 0.0) return {name, width_m, std::nullopt, true};
    // Widths lie on the grid: a millionth of slack is for their arithmetic.
    return {name, width_m, limit_m, width_m >= limit_m * (1.0 - 1e-6)};
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

void check_features(const Device& device, double gap, Pattern& out) {
    out.checks.push_back(check("least width", out.figure.least_width_m, least_feature_m(device)));
    if (std::isfinite(gap)) out.checks.push_back(check("least gap", gap, least_feature_m(device)));
    for (const PatternCheck& c : out.checks)
        if (!c.held)
            out.warnings.push_back(
                {"below-least-feature", "the " + c.name +
                                            " of the drawn holes is below process.least_feature: the "
                                            "writer may not print them as drawn"});
}

/// Nine pitches of the lattice round the origin: all gaps there are, at some roundings of the centres.
std::vector<Hole> patch_of(const HolePattern& lattice) {
    HolePattern patch = lattice;
    const Length side = Length::from_si(9.0 * lattice.pitch.si() + lattice.size.si());
    patch.field = {side, side};
    patch.omit.clear();
    return place_holes(patch);
}

/// The lattice `scale` times as coarse, as it would be drawn. Empty where it cannot be.
std::optional<PatternProposal> drawn_at(const Device& device, const PatternOptions& options, const Pattern& out,
                                        double scale) {
    HolePattern coarse = *device.holes;
    const double grid = std::max(out.grid * drawn_unit_m, 1e-8);  // figures for people: no finer than 10 nm
    const double pitch = std::ceil(scale * coarse.pitch.si() / grid - 1e-6) * grid;
    const double size = coarse.size.si() * pitch / coarse.pitch.si();
    const auto with = [](const Sourced<Length>& old, double metres) {
        return Sourced<Length>(Length::from_si(metres), Length{}, old.source());
    };
    const double growth = out.sizes.released.width - out.sizes.drawn.width;
    coarse.size = with(coarse.size, size);
    coarse.pitch = with(coarse.pitch, pitch);
    if (size <= growth) return std::nullopt;
    try {
        const HoleFigure figure =
            draw_hole({coarse.shape, size - growth, coarse.angle_rad, out.grid, options.most_corners});
        const DrawnSites sites = snap_sites(patch_of(coarse), figure, out.grid);
        const PlacedHoles holes = placed(coarse, patch_of(coarse));
        const auto spots = clearing(holes).spots;
        return PatternProposal{size, pitch, figure.least_width_m, least_gap_m(figure, sites.sites),
                               spots.empty() ? 0.0 : spots.front().clears_at};
    } catch (const NoAnswer&) {
        return std::nullopt;
    }
}

/// The least coarsening at which hole and gap can both be printed: biases stay what they are while the lattice grows.
std::optional<PatternProposal> propose(const Device& device, const PatternOptions& options, const Pattern& out) {
    if (device.holes->lattice == Lattice::list) return std::nullopt;
    const double least = least_feature_m(device) * (1.0 - 1e-6);
    for (double scale = 1.0; scale < 30.0; scale *= 1.01) {
        const auto tried = drawn_at(device, options, out, scale);
        if (tried && tried->least_width_m >= least && tried->least_gap_m >= least) return tried;
    }
    return std::nullopt;
}

void draw_holes(const Device& device, const PatternOptions& options, Pattern& out) {
    const HolePattern& holes = *device.holes;
    out.sizes = sizes_of(device);
    out.figure = draw_hole({holes.shape, out.sizes.drawn.width, holes.angle_rad, out.grid, options.most_corners});
    const DrawnSites drawn = snap_sites(place(*device.holes, device.outline), out.figure, out.grid);
    out.largest_shift_m = drawn.largest_shift_m;
    out.hole_count = static_cast<long>(drawn.sites.size());
    const double gap = least_gap_m(out.figure, drawn.sites);
    if (gap <= 0.0) refuse_meeting_holes(propose(device, options, out));
    check_features(device, gap, out);
    if (!out.printable()) out.proposal = propose(device, options, out);
    out.drawing.cells.push_back({"HOLE", {{Layer::holes, out.figure.corners}}, {}});
    out.drawing.cells.push_back({"ALL_HOLES", {}, gather(drawn.sites, 0)});
    out.holes_cell = 1;
    out.placements = out.drawing.cells[1].placements.size();
}

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

ChipBasis chip_basis(const Device& device, const PatternOptions& options, int grid) {
    const Chip& chip = *device.chip;
    const Box box = bounding_box(boundary(plain_outline(device)));
    const auto point = [grid](double x, double y) { return DrawnPoint{snapped(x, grid), snapped(y, grid)}; };
    const double w = 0.5 * chip.width.si(), l = 0.5 * chip.length.si();
    return {{point(-chip.position.x - w, -chip.position.y - l), point(-chip.position.x + w, -chip.position.y + l)},
            {point(box.low.x, box.low.y), point(box.high.x, box.high.y)},
            label_of(device, options),
            std::max(usual_clearance_m, 10.0 * usual_undercut_m(*device.holes)),
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

/// Of an edge, from drawn to released, by the biases.
double growth_deviation(const Device& device) {
    if (!device.process) return 0.0;
    return std::hypot(device.process->lithography_bias.deviation_si(), device.process->etch_bias.deviation_si());
}

std::vector<Placement> furnish_chip(const Device& device, const PatternOptions& options, Pattern& out) {
    const ChipBasis basis = chip_basis(device, options, out.grid);
    ChipLayout layout = lay_out_chip(basis, out.drawing);
    const WitnessBasis own{*device.holes,
                           plain_outline(device),
                           out.sizes.drawn.width,
                           0.5 * (out.sizes.released.width - out.sizes.drawn.width),
                           growth_deviation(device),
                           basis.least_feature_m,
                           out.grid,
                           options.most_corners};
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
    std::vector<SourceLine> lines{source_line("holes.size", device.holes->size)};
    if (!device.process) return lines;
    lines.push_back(source_line("process.lithography_bias", device.process->lithography_bias));
    lines.push_back(source_line("process.etch_bias", device.process->etch_bias));
    return lines;
}

void warn(const Device& device, Pattern& out) {
    if (!device.process)
        out.warnings.push_back({"no-process",
                                "the design has no [process]: holes are drawn as large as they are to be "
                                "released"});
    else
        out.warnings.push_back({"dose-test",
                                "drawn sizes are the wanted ones less the biases of [process]; they are as "
                                "good as the dose test that gave the biases, for this writer, resist and size"});
    if (!device.process || !device.process->address_grid)
        out.warnings.push_back({"no-grid",
                                "the design has no process.address_grid: corners lie on whole nanometres and "
                                "the writer rounds them to its own grid"});
    if (!has_chip(device))
        out.warnings.push_back({"no-chip",
                                "the design has no [chip] with width and length: frame, crosses and label "
                                "are left out"});
}

}  // namespace

Pattern draw_pattern(const Device& device, const PatternOptions& options) {
    if (!device.holes) throw NoAnswer("the film has no holes: there is nothing to draw; give [holes]");
    if (!device.openings.empty())
        throw NoAnswer(
            "[[openings]] are not drawn by this version, and a mask without them would be wrong; take them "
            "out of the design to draw its holes alone");
    if (!options.witnesses.empty() && !has_chip(device))
        throw NoAnswer("witnesses need a chip to stand on; give chip.width and chip.length");
    Pattern out;
    out.title = device.title;
    out.sha256 = device.sha256;
    out.shape = device.holes->shape;
    out.grid = address_grid(device);
    draw_holes(device, options, out);
    std::vector<Placement> whole{{out.holes_cell, {0, 0}, 1, 1, {}, {}}};
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
