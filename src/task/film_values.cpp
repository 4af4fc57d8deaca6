#include "film_values.h"

#include "moved_design.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

struct Designed {
    double value = 1.0;
    std::string unit = "1";
    double besides = 0.0;  ///< part that the parameter does not scale
};

const char* hole_key(HoleShape shape) {
    switch (shape) {
        case HoleShape::circle: return "holes.diameter";
        case HoleShape::square: return "holes.side";
        case HoleShape::hexagon: return "holes.across_flats";
    }
    return "";
}

std::string design_key(const Device& design, const std::string& parameter) {
    return parameter == "holes.size" && design.holes ? hole_key(design.holes->shape) : parameter;
}

struct OutlineSize {
    const char* key;
    const Sourced<Length>* value;
    double edges;  ///< by how many times the outward shift of the edges it grows
};

std::vector<OutlineSize> outline_sizes(const Outline& outline) {
    if (const auto* r = std::get_if<Rectangle>(&outline))
        return {{"outline.width", &r->width, 2.0}, {"outline.height", &r->height, 2.0}};
    if (const auto* s = std::get_if<Strip>(&outline))
        return {{"outline.length", &s->length, 2.0}, {"outline.width", &s->width, 2.0}};
    if (const auto* d = std::get_if<Disc>(&outline)) return {{"outline.diameter", &d->diameter, 2.0}};
    if (const auto* a = std::get_if<Ring>(&outline))
        return {{"outline.outer_diameter", &a->outer_diameter, 2.0},
                {"outline.inner_diameter", &a->inner_diameter, -2.0}};
    return {};
}

double undercut_of(const Device& design) {
    const Released* released = std::get_if<Released>(&design.outline);
    return released == nullptr ? 0.0 : released->undercut.si();
}

/// Value and SI unit of a design key that a fit may move.
Designed designed_value(const Device& design, const std::string& parameter) {
    const Film& film = design.film;
    if (parameter == "film.stress") return {film.stress.si(), "Pa"};
    if (parameter == "film.density") return {film.density.si(), "kg/m^3"};
    if (parameter == "film.thickness")
        return {film.thickness.si(), "m", design.film_loss ? design.film_loss->mean() : 0.0};
    if (parameter == "film.youngs_modulus") return {film.youngs_modulus.si(), "Pa"};
    if (parameter == "film.poisson_ratio") return {film.poisson_ratio.si(), "1"};
    if (parameter == "holes.size" && design.holes) return {design.holes->size.si(), "m"};
    if (parameter == "holes.pitch" && design.holes) return {design.holes->pitch.si(), "m"};
    for (const OutlineSize& size : outline_sizes(design.outline))
        if (parameter == size.key) return {size.value->si(), "m"};
    return {};
}

/// An undercut has a prior only where the design states its deviation.
std::optional<double> stated_undercut(const Device& design) {
    const Released* released = std::get_if<Released>(&design.outline);
    if (released == nullptr || released->undercut.deviation_si() == 0.0) return std::nullopt;
    return released->undercut.deviation_si();
}

/// Whether a parameter is one of this design's.
bool has(const Device& design, const FittedParameter& p) {
    if (p.name == "release.undercut") return std::holds_alternative<Released>(design.outline);
    return p.name.rfind("holes.", 0) != 0 || design.holes;
}

/// The first design that a parameter belongs to.
const Device& design_of(const std::vector<DeviceInput>& designs, const FittedParameter& p) {
    for (std::size_t d = p.device.value_or(0); d < designs.size(); ++d)
        if (has(designs[d].design, p)) return designs[d].design;
    return designs.front().design;
}

bool is_gradient(const FittedParameter& p) {
    return p.name.rfind("film.stress_gradient", 0) == 0;
}

/// @param stress  fitted, at the chip's centre, Pa
FittedValue value_of(const Device& design, const FittedParameter& p, double stress) {
    FittedValue v;
    v.name = design_key(design, p.name);
    v.device = p.device;
    v.fitted = p.shift;
    v.deviation = p.deviation;
    v.unit = std::string("1");
    if (p.name == "film.tilt") return v;
    if (is_gradient(p)) {
        v.unit = std::string("Pa/m");
        v.fitted = stress * p.shift;
        v.deviation = stress * p.deviation;
        return v;
    }
    if (p.name == "outline.growth" || p.name == "release.undercut") {
        v.unit = std::string("m");
        v.designed = undercut_of(design);
        v.fitted = v.designed + p.shift;
        v.prior = stated_undercut(design);
        return v;
    }
    const Designed was = designed_value(design, p.name);
    v.unit = was.unit;
    v.designed = was.value + was.besides;
    v.fitted = was.value * std::exp(p.shift) + was.besides;
    v.deviation = was.value * std::exp(p.shift) * p.deviation;
    v.prior = was.value * p.prior;
    return v;
}

Eigen::Index position_of(const FilmFit& fit, const std::string& name, std::size_t device) {
    for (std::size_t j = 0; j < fit.parameters.size(); ++j) {
        const FittedParameter& p = fit.parameters[j];
        if (p.name == name && (!p.device || *p.device == device)) return static_cast<Eigen::Index>(j);
    }
    return -1;
}

bool is_written(const std::string& parameter) {
    return parameter == "holes.size";  // of the inputs; stress and edges are written always
}

/// The lines as they are where all inputs but the written ones are the design's, known exactly.
LineModel at_design(const LineModel& solved, const FilmFit& fit, std::size_t device) {
    LineModel model = solved;
    Shift back;
    back.inputs = Eigen::VectorXd::Zero(static_cast<Eigen::Index>(model.inputs.size()));
    for (std::size_t j = 0; j < model.inputs.size(); ++j) {
        if (is_written(model.inputs[j].name)) continue;
        model.inputs[j].deviation = 0.0;
        const Eigen::Index at = position_of(fit, model.inputs[j].name, device);
        if (at >= 0) back.inputs[static_cast<Eigen::Index>(j)] = -fit.parameters[static_cast<std::size_t>(at)].shift;
    }
    const Eigen::VectorXd logs = log_frequencies(solved, back);
    for (std::size_t k = 0; k < model.lines.size(); ++k)
        model.lines[k].frequency_hz = std::exp(logs[static_cast<Eigen::Index>(k)]);
    return model;
}

/// Stress of the film itself, below layers whose stress stays as designed.
double own_stress(const Film& film, double stress) {
    if (film.layers.empty()) return stress;
    double tension = stress * film.thickness.si();
    for (const FilmLayer& layer : film.layers) tension -= layer.stress.si() * layer.thickness.si();
    return tension / film.own_thickness.si();
}

/// What keeps the holes where they are drawn when their edges or the outline's have moved: extent and margin.
void add_places(const Device& design, const std::vector<WrittenValue>& values, std::vector<WrittenValue>& out) {
    if (!design.holes || design.holes->lattice == Lattice::list) return;
    LineModel names;
    Shift shift;
    shift.inputs = Eigen::VectorXd::Zero(1);
    names.inputs.push_back({"holes.size", design.holes->size.si(), 0.0, Axis::none, Sharing::change});
    for (const WrittenValue& v : values) {
        if (v.key == hole_key(design.holes->shape)) shift.inputs[0] = std::log(v.value / design.holes->size.si());
        for (const OutlineSize& size : outline_sizes(design.outline))
            if (v.key == size.key) shift.growth_m = (v.value - size.value->si()) / size.edges;
    }
    const Device after = moved(design, names, shift);
    if (after.holes->margin.si() != design.holes->margin.si())
        out.push_back({"holes.margin", after.holes->margin.si(), 0.0});
    if (after.holes->field && (*after.holes->field)[0].si() != (*design.holes->field)[0].si())
        out.push_back({"holes.field", (*after.holes->field)[0].si(), 0.0, (*after.holes->field)[1].si()});
}

/// The parameters that one design can take up, and what it then says.
std::vector<WrittenValue> written_into(const Device& design, std::size_t device, const FilmFit& alone,
                                       const FilmFit& whole) {
    const auto shift = [&](Eigen::Index at) { return alone.parameters[static_cast<std::size_t>(at)].shift; };
    const auto sigma = [&](const std::string& name) {
        const Eigen::Index at = position_of(whole, name, device);
        return at < 0 ? 0.0 : whole.parameters[static_cast<std::size_t>(at)].deviation;
    };
    const double stress = design.film.stress.si() * std::exp(shift(0));
    const double share = design.film.layers.empty() ? 1.0 : design.film.thickness.si() / design.film.own_thickness.si();
    std::vector<WrittenValue> out{
        {"film.stress", own_stress(design.film, stress), stress * sigma("film.stress") * share}};
    if (const auto at = position_of(alone, "release.undercut", device);
        at >= 0 && std::holds_alternative<Released>(design.outline))
        out.push_back({"release.undercut", undercut_of(design) + shift(at), sigma("release.undercut")});
    if (const auto at = position_of(alone, "outline.growth", device); at >= 0)
        for (const OutlineSize& size : outline_sizes(design.outline))
            out.push_back({size.key, size.value->si() + size.edges * shift(at),
                           std::hypot(size.edges * sigma("outline.growth"), size.value->deviation_si())});
    if (const auto at = position_of(alone, "holes.size", device); at >= 0 && design.holes) {
        const double size = design.holes->size.si(), was = size * std::exp(shift(at));
        out.push_back({hole_key(design.holes->shape), was, was * sigma("holes.size")});
    }
    add_places(design, std::vector<WrittenValue>(out), out);
    return out;
}

}  // namespace

std::string full_name(const FittedValue& v) {
    return v.device.value_or(0) == 0 ? v.name : std::string(v.name).append("@").append(std::to_string(*v.device + 1));
}

std::vector<FittedValue> fitted_values(const std::vector<DeviceInput>& designs, const FilmFit& fit) {
    std::vector<FittedValue> values;
    const double fitted = designs.front().design.film.stress.si() * std::exp(fit.parameters.front().shift);
    for (std::size_t j = 0; j < fit.parameters.size(); ++j) {
        const FittedParameter& p = fit.parameters[j];
        if (p.name == "numerics") continue;
        values.push_back(value_of(design_of(designs, p), p, fitted));
        values.back().correlation_with_stress = j == 0 ? 1.0 : correlation(fit, 0, j);
    }
    const Sourced<Stress>& stress = designs.front().design.film.stress;
    values.front().prior = stress.deviation_si() > 0.0 ? std::optional<double>(stress.deviation_si()) : std::nullopt;
    return values;
}

double group_deviation(const FilmFit& fit, const LineModel& first) {
    Eigen::VectorXd weight = Eigen::VectorXd::Zero(static_cast<Eigen::Index>(fit.parameters.size()));
    weight[0] = 1.0;
    if (const auto at = position_of(fit, "film.density", 0); at >= 0) weight[at] = -1.0;
    for (const Input& input : first.inputs)
        if (input.name.rfind("outline.", 0) == 0)
            if (const auto at = position_of(fit, input.name, 0); at >= 0)
                weight[at] = input.axis == Axis::none ? -2.0 : -1.0;
    if (const auto at = position_of(fit, first.rim.name, 0); at >= 0) weight[at] = 2.0 * first.lines.front().growth;
    return std::sqrt(std::max(weight.dot(fit.covariance * weight), 0.0));
}

std::optional<Split> split_of(const Device& design, const FilmFit& fit, std::size_t device) {
    if (!std::holds_alternative<Rectangle>(design.outline)) return std::nullopt;
    Eigen::VectorXd weight = Eigen::VectorXd::Zero(static_cast<Eigen::Index>(fit.parameters.size()));
    double stress = 0.0;
    const auto add = [&](const char* name, double share) {
        const auto at = position_of(fit, name, device);
        if (at < 0) return;
        weight[at] = share;
        stress += share * fit.parameters[static_cast<std::size_t>(at)].shift;
    };
    add("film.tilt", 2.0);
    add("outline.width", -2.0);
    add("outline.height", 2.0);
    if (weight.isZero()) return std::nullopt;
    return Split{stress, std::sqrt(std::max(weight.dot(fit.covariance * weight), 0.0))};
}

std::vector<std::vector<WrittenValue>> written_values(const std::vector<DeviceInput>& designs,
                                                      const std::vector<Work>& works, const FoundFilm& found) {
    std::vector<LineModel> models;
    for (std::size_t d = 0; d < works.size(); ++d) models.push_back(at_design(works[d].lines, found.fit, d));
    std::vector<const LineModel*> pointers;
    for (const LineModel& model : models) pointers.push_back(&model);
    const FilmFit alone = fit_film(pointers, data_of(works), found.freedom);
    std::vector<std::vector<WrittenValue>> out;
    for (std::size_t d = 0; d < designs.size(); ++d)
        out.push_back(written_into(designs[d].design, d, alone, found.fit));
    return out;
}

}  // namespace tymbal
