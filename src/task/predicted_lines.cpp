#include "tymbal/task/predicted_lines.h"

#include "tymbal/geometry/boundary.h"
#include "tymbal/grid/operators.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

using Eigen::Index;

// Stated errors of the solution cover 95 of 100 modes and more (tests/deep-notes.md): two deviations.
constexpr double error_in_deviations = 2.0;
constexpr double near_degenerate = 0.03;  // of ln f: pairs that uneven stress of some per cent mixes

/// Tension along x counted positive, along y negative: its energy tells the two directions apart.
SparseMatrix difference_of_tensions(const Level& level) {
    CellTensor tension = sampled(level.tension, level.grid);
    for (auto& cell : tension) cell = {cell[0], -cell[1], 0.0};
    return tension_matrix(level.grid, tension);
}

/// Parts of omega^2 by how they rise with the stress, from the extrapolated energies.
void add_parts(Line& line, const Mode& mode) {
    line.layer = 2.0 * mode.integrals.bending_edge / mode.integrals.stiffness;
    line.bend = std::clamp(mode.integrals.bending_interior / mode.integrals.stiffness, 0.0, 1.0);
    line.pull = 1.0 - line.layer - line.bend;
}

bool near(const Line& a, const Line& b) {
    return std::abs(std::log(a.frequency_hz / b.frequency_hz)) < near_degenerate;
}

/// The neighbour that uneven tension couples a line to, shapes with w' M w = 1. Pairs only: each the other's.
void add_neighbours(std::vector<Line>& lines, const Level& level, const SparseMatrix& difference) {
    constexpr double uncoupled = 1e-3;  // of omega^2 per unit tilt: parity forbids it, what is left is rounding
    for (std::size_t a = 0; a < lines.size(); ++a) {
        const auto k = static_cast<Index>(a);
        const Vector along = difference * level.shapes.col(k);
        lines[a].tilt = level.shapes.col(k).dot(along) / level.values[k];
        for (std::size_t b = a + 1; b < lines.size() && near(lines[a], lines[b]); ++b) {
            const auto n = static_cast<Index>(b);
            const double coupling = level.shapes.col(n).dot(along) / std::sqrt(level.values[k] * level.values[n]);
            if (std::abs(coupling) < uncoupled || lines[a].neighbour >= 0 || lines[b].neighbour >= 0) continue;
            lines[a].neighbour = static_cast<int>(b);
            lines[b].neighbour = static_cast<int>(a);
            lines[a].mixing = lines[b].mixing = coupling;
        }
    }
}

/// The other of a degenerate pair: what the solver paired, else the near line with the opposite tilt.
void add_twins(std::vector<Line>& lines, const std::vector<Mode>& modes) {
    constexpr double alike = 0.05, upright = 0.02;
    for (std::size_t a = 0; a < lines.size(); ++a) {
        if (modes[a].partner > 0) lines[a].twin = modes[a].partner - 1;
        for (std::size_t b = a + 1; b < lines.size() && near(lines[a], lines[b]); ++b) {
            if (lines[a].twin >= 0 || lines[b].twin >= 0 || std::abs(lines[a].tilt) < upright) continue;
            if (std::abs(lines[a].tilt + lines[b].tilt) > alike) continue;
            lines[a].twin = static_cast<int>(b);
            lines[b].twin = static_cast<int>(a);
        }
    }
}

struct Size {
    const char* name;
    const Sourced<Length>* value;
    double Sensitivity::*weight;
    Axis axis = Axis::none;
};

std::vector<Size> sizes(const Outline& outline) {
    if (const auto* r = std::get_if<Rectangle>(&outline))
        return {{"outline.width", &r->width, &Sensitivity::width, Axis::x},
                {"outline.height", &r->height, &Sensitivity::height, Axis::y}};
    if (const auto* s = std::get_if<Strip>(&outline))
        return {{"outline.length", &s->length, &Sensitivity::width, Axis::x},
                {"outline.width", &s->width, &Sensitivity::height, Axis::y}};
    if (const auto* d = std::get_if<Disc>(&outline))
        return {{"outline.diameter", &d->diameter, &Sensitivity::scale, Axis::none}};
    if (const auto* a = std::get_if<Ring>(&outline))
        return {{"outline.outer_diameter", &a->outer_diameter, &Sensitivity::scale, Axis::none},
                {"outline.inner_diameter", &a->inner_diameter, &Sensitivity::inner, Axis::none}};
    return {};
}

/// Weight of ln f on a size; a ring's outer diameter moves alone.
double size_weight(const Outline& outline, const Size& size, const Sensitivity& s) {
    double weight = s.*size.weight;
    if (std::holds_alternative<Ring>(outline) && size.weight == &Sensitivity::scale) weight -= s.inner;
    return 0.5 * weight;
}

/// d ln f per metre that all edges lie further out; polygons grow as a whole, a front goes with the undercut.
double growth_weight(const Device& device, const FilmOnOutline& laid, const Sensitivity& s) {
    double weight = 0.0;
    for (const Size& size : sizes(device.outline)) {
        const double outward = size.weight == &Sensitivity::inner ? -2.0 : 2.0;
        weight += size_weight(device.outline, size, s) * outward / size.value->si();
    }
    if (std::holds_alternative<Polygon>(device.outline))
        weight = 0.5 * s.scale * perimeter(boundary(device.outline)) / (2.0 * laid.outline_area);
    if (std::holds_alternative<Released>(device.outline)) weight = 0.5 * s.rim;
    return weight;
}

Rim rim_of(const Outline& outline) {
    const Released* released = std::get_if<Released>(&outline);
    if (released == nullptr) return {};
    return {"release.undercut", released->undercut.si(), released->undercut.deviation_si()};
}

/// What of the film and its holes is not exactly known, in an order that does not change from film to film.
std::vector<Input> uncertain_inputs(const Device& device, const Mode& mode) {
    std::vector<Input> inputs;
    for (const Contribution& c : mode.contributions) {
        if (c.input == "film.stress" || c.input == "release.undercut" || c.input.rfind("outline.", 0) == 0) continue;
        if (c.input == "holes.size" && device.holes)
            inputs.push_back({c.input, device.holes->size.si(), c.relative_deviation, Axis::none, Sharing::change});
        else
            inputs.push_back({c.input, 1.0, c.relative_deviation, Axis::none, Sharing::factor});
    }
    const auto by_name = [](const Input& a, const Input& b) { return a.name < b.name; };
    std::stable_sort(inputs.begin(), inputs.end(), by_name);
    return inputs;
}

/// A mode is seen the better, the more of it the spot sees; without a spot each is as likely as not.
double visibility(const Device& device, const Mode& mode) {
    if (!device.readout) return 0.6;
    const double overlap = std::abs(spot_mean(mode.shape, device.readout->position, device.readout->spot_radius.si()));
    return std::clamp(0.1 + 2.0 * overlap, 0.1, 0.8);
}

double contribution_weight(const Mode& mode, const std::string& input) {
    for (const Contribution& c : mode.contributions)
        if (c.input == input) return c.sensitivity;
    return 0.0;
}

/// What the parts of omega^2 already do when an axis is stretched (tension as length^-2 along it, layer as the mean
/// length^-3, bending as length^-4) is taken out of the weight: what remains is small.
/// Stretched alike along both axes the parts are exact by dimensions, so the two remainders cancel.
void take_out_parts(LineModel& model) {
    if (model.inputs.size() < 2 || model.inputs[0].axis != Axis::x || model.inputs[1].axis != Axis::y) return;
    for (Line& line : model.lines) {
        line.weights[0] += 0.5 * (line.pull + line.tilt) + 0.75 * line.layer + line.bend;
        line.weights[1] += 0.5 * (line.pull - line.tilt) + 0.75 * line.layer + line.bend;
        const double common = 0.5 * (line.weights[0] + line.weights[1]);
        line.weights[0] -= common;
        line.weights[1] -= common;
    }
}

}  // namespace

LineModel predicted_lines(const Device& device, const SolvedDesign& solved) {
    const std::vector<Mode>& modes = solved.set.modes;
    const std::vector<Size> lengths = sizes(device.outline);
    LineModel model;
    for (const Size& size : lengths)
        model.inputs.push_back({size.name, size.value->si(), size.value->deviation_si() / size.value->si(), size.axis});
    for (const Input& input : uncertain_inputs(device, modes.front())) model.inputs.push_back(input);
    model.rim = rim_of(device.outline);
    double numerics = 0.0;
    for (std::size_t k = 0; k < modes.size(); ++k) {
        const Mode& mode = modes[k];
        const Sensitivity& s = solved.set.sensitivities[k];
        Line line;
        line.index = mode.index;
        line.label = mode.label;
        line.frequency_hz = mode.frequency_hz;
        line.numerics = mode.discretisation_error_hz / (error_in_deviations * mode.frequency_hz);
        line.visibility = visibility(device, mode);
        line.growth = growth_weight(device, solved.laid, s);
        add_parts(line, mode);
        for (const Size& size : lengths) line.weights.push_back(size_weight(device.outline, size, s));
        for (std::size_t j = lengths.size(); j < model.inputs.size(); ++j)
            line.weights.push_back(contribution_weight(mode, model.inputs[j].name));
        line.weights.push_back(1.0);
        numerics += line.numerics / static_cast<double>(modes.size());
        model.lines.push_back(std::move(line));
    }
    model.inputs.push_back({"numerics", 1.0, std::max(numerics, 1e-6), Axis::none});
    add_neighbours(model.lines, solved.set.fine, difference_of_tensions(solved.set.fine));
    add_twins(model.lines, modes);
    take_out_parts(model);
    return model;
}

}  // namespace tymbal
