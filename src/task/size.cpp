#include "tymbal/task/size.h"

#include "tymbal/base/error.h"
#include "tymbal/geometry/boundary.h"
#include "tymbal/task/named_mode.h"
#include "tymbal/task/predict.h"

#include "etch_report.h"
#include "holes_in_place.h"
#include "sized_lengths.h"
#include "sizer.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace tymbal {

namespace {

/// The outline's first side, for what an error of the size means.
double outline_width(const Device& device) {
    const Box box = bounding_box(boundary(device.outline));
    return box.high.x - box.low.x;
}

template <class Q>
SizeTolerance film_tolerance(const char* input, double weight, const Sourced<Q>& value, const char* unit) {
    SizeTolerance t{input, weight, 0.0, value.si(), unit, std::nullopt};
    if (value.deviation_si() > 0.0 && value.si() != 0.0) t.known_to = value.deviation_si() / std::abs(value.si());
    return t;
}

std::vector<SizeTolerance> tolerances(const SizedDesign& sized, const Device& device, const Sensitivity& s,
                                      Sizing sizing) {
    std::vector<SizeTolerance> all;
    const bool height = sizing == Sizing::height && !sized.lengths.empty();
    const double length = height ? sized.lengths.front().after : outline_width(device);
    all.push_back({"size", size_weight(s, sizing), 0.0, length, "m", std::nullopt});
    all.push_back(film_tolerance("film.stress", 0.5 * s.stress, device.film.stress, "Pa"));
    all.push_back(film_tolerance("film.thickness", 0.5 * s.thickness, device.film.thickness, "m"));
    for (SizeTolerance& t : all)
        t.relative = t.weight != 0.0 ? sized.window / std::abs(t.weight) : std::numeric_limits<double>::infinity();
    return all;
}

std::optional<DrawnField> drawn_field(const Device& device) {
    if (!device.holes) return std::nullopt;
    const HoleSize wet = device.release ? wall_recession(*device.release, device.film.material) : HoleSize{};
    const HoleSizes sizes = hole_sizes(device.holes->size, device.process, wet);
    const Box box = extent(holes_in_place(device));
    const double less = sizes.released.width - sizes.drawn.width;
    return DrawnField{sizes.drawn.width, box.high.x - box.low.x - less, box.high.y - box.low.y - less};
}

/// A field grows by whole rows, whatever the search asked for.
double field_scale(const Device& before, const Device& after) {
    return (*after.holes->field)[0].si() / (*before.holes->field)[0].si();
}

}  // namespace

SizedDesign size(const DeviceAt& device_at, const SizeWish& wish, const Materials& materials,
                 const Progressed& progressed, const SolveEffort& large) {
    const CellMemo cells;
    Sizer sizer(device_at, wish, cells, progressed, large);
    const Trial trial = sizer.search();
    SizedDesign out;
    out.changes = sizer.rounded(trial);
    const Device device = device_at(out.changes);
    const Prediction p = predict(device, materials, {cells, true, false, large});
    const auto mode = std::find_if(p.modes.begin(), p.modes.end(),
                                   [&](const PredictedMode& m) { return lasting_name(m.mode) == sizer.mode(); });
    if (mode == p.modes.end()) throw NoAnswer("the mode " + sizer.mode() + " is lost at the size found");
    out.title = p.title;
    out.sha256 = p.sha256;
    out.target_hz = wish.frequency_hz;
    out.index = mode->mode.index;
    out.label = mode->mode.label;
    out.frequency_hz = mode->mode.frequency_hz;
    out.frequency_std_hz = mode->mode.frequency_std_hz;
    out.discretisation_error_hz = mode->mode.discretisation_error_hz;
    out.landed = std::abs(out.frequency_hz / wish.frequency_hz - 1.0) < sizing::promised;
    out.how = sizer.how();
    if (!out.landed && std::abs(trial.miss) < sizing::sought)
        out.how = "rounding the lengths to 0.1 nm changes the holes that fit: the nearest design";
    out.scale = sizer.sizes_field() ? field_scale(sizer.start(), device) : std::exp(trial.u);
    out.accuracy = sizer.accuracy();
    out.lengths = sized_lengths(sizer.start(), device);
    if (sizer.sizes_field() && trial.border)
        out.lengths.push_back({"release.undercut", std::get<Released>(sizer.start().outline).undercut.si(),
                               std::get<Released>(device.outline).undercut.si()});
    out.hole_count = p.film.hole_count;
    out.drawn = drawn_field(device);
    out.tolerances = tolerances(out, device, trial.sensitivity, wish.sizing);
    out.solutions = sizer.solutions() + 1;
    out.sources = p.sources;
    return out;
}

}  // namespace tymbal
