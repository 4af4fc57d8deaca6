#include "sizer.h"

#include "tymbal/base/error.h"
#include "tymbal/geometry/boundary.h"
#include "tymbal/geometry/lattice.h"
#include "tymbal/task/laid_film.h"
#include "tymbal/task/named_mode.h"

#include "etch_report.h"
#include "holes_in_place.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

namespace tymbal {

namespace {

/// How many more solutions it takes from such a miss, the last one with losses and all: each step of Newton's doubles
/// the digits.
double solutions_left(double miss) {
    const double digits = std::log(std::clamp(std::abs(miss), sizing::sought, 0.5)) / std::log(sizing::sought);
    return 1.0 - std::log2(digits);
}

}  // namespace

double size_weight(const Sensitivity& s, Sizing sizing) {
    if (sizing == Sizing::width) return 0.5 * s.width;
    return 0.5 * (sizing == Sizing::height ? s.height : s.scale);
}

bool Sizer::sizes_field() const {
    return std::holds_alternative<Released>(start_.outline) && wish_.sizing == Sizing::outline &&
           start_.holes->lattice != Lattice::list;
}

void Sizer::require_side() const {
    const bool one_side = wish_.sizing == Sizing::width || wish_.sizing == Sizing::height;
    if (one_side && !std::holds_alternative<Rectangle>(start_.outline))
        throw InputError({}, "sizing", "of one side alone needs a rectangle; other outlines are sized as a whole");
    if (wish_.sizing == Sizing::outline_and_holes && !start_.holes)
        throw InputError({}, "sizing", "of the holes, too, needs holes, and the design has none; leave them out");
}

Changes Sizer::changes_at(double u, const std::optional<double>& border) const {
    const double scale = std::exp(u);
    Changes changes;
    if (sizes_field())
        changes.push_back({"holes.field", scale * (*start_.holes->field)[0].si()});
    else if (wish_.sizing == Sizing::width)
        changes.push_back({"outline.width", scale * std::get<Rectangle>(start_.outline).width.si()});
    else if (wish_.sizing == Sizing::height)
        changes.push_back({"outline.height", scale * std::get<Rectangle>(start_.outline).height.si()});
    else
        changes.push_back({"outline.scale", scale});
    if (wish_.sizing == Sizing::outline_and_holes) changes.push_back({"holes.scale", scale});
    if (border)
        for (const Change& change : border_change(*border)) changes.push_back(change);
    if (accuracy_ != start_.solve.accuracy) changes.push_back({"solve.accuracy", accuracy_});
    return changes;
}

Changes Sizer::border_change(double border) const {
    if (!sizes_field()) return {{"holes.margin", border}};
    if (start_.release->undercut) return {{"release.undercut", std::round(1e10 * border) / 1e10}};
    const auto pair = etch_pair(*start_.release, start_.film.material);
    return {{"release.time", time_for(*pair, border)}};
}

Changes Sizer::rounded(const Trial& trial) const {
    const Device at_trial = design_at_(changes_at(trial.u, trial.border));
    if (wish_.sizing == Sizing::outline_and_holes && !start_.hole_file.empty())
        return changes_at(trial.u, trial.border);  // a file's holes are not written here
    Changes changes = written_lengths(start_, at_trial);
    if (sizes_field() && trial.border)
        for (const Change& change : border_change(*trial.border)) changes.push_back(change);
    if (sizes_field())
        for (Change& change : changes)
            if (change.key == "holes.field") change.value = filled_field(at_trial);
    // Holes that touch their margin or the end of their field exactly may lose it by rounding.
    constexpr double slack = 2e-9;
    for (Change& change : changes) {
        if (change.key == "holes.margin" && count_holes(changes) != trial.holes)
            change.value = std::get<double>(change.value) - slack;
        if (auto* field = std::get_if<std::array<double, 2>>(&change.value);
            field != nullptr && count_holes(changes) != trial.holes)
            *field = {(*field)[0] + slack, (*field)[1] + slack};
    }
    if (accuracy_ != start_.solve.accuracy) changes.push_back({"solve.accuracy", accuracy_});
    return changes;
}

Trial Sizer::solve(double u, const std::optional<double>& border) {
    const Device device = design_at_(changes_at(u, border));
    const FilmOnOutline laid = lay_out(device, cells_);
    const ModeSet set =
        find_modes({device.outline, laid.film, device.solve.modes, device.solve.accuracy, false, true, large_});
    ++solutions_;
    const auto found = find_mode(set.modes, mode_);
    if (!found && solutions_ == 1)
        throw InputError({}, "mode",
                         "the design has no mode '" + mode_ + "' among its lowest " +
                             std::to_string(device.solve.modes) + ": " + list_labels(set.modes) +
                             "; name one of them, or ask for more modes");
    if (!found) throw NoAnswer("the mode " + mode_ + " is not among the lowest at this size");
    const Mode& mode = set.modes[*found];
    mode_ = lasting_name(mode);
    const double miss = std::log(mode.frequency_hz / wish_.frequency_hz);
    tell(progressed_, solutions_ / (solutions_ + solutions_left(miss)));
    return {u, miss, static_cast<long>(laid.holes.size()), border, set.sensitivities[*found], mode.index, mode.label};
}

void Sizer::no_size(const Trial& nearest) const {
    char text[400];
    std::snprintf(text, sizeof text,
                  "no size puts the mode %s on %.6g Hz: at %.4g times the outline it has %.6g Hz, and %s",
                  mode_.c_str(), wish_.frequency_hz, std::exp(nearest.u), wish_.frequency_hz * std::exp(nearest.miss),
                  beyond_bounds_.substr(0, 200).c_str());
    throw NoAnswer(text);
}

/// A solved size further on, short of sizes that have no answer.
Trial Sizer::beyond(const Trial& here, double step) {
    double& failed = step > 0.0 ? failed_[1] : failed_[0];
    for (;;) {
        double u = std::clamp(here.u + step, bounds_[0], bounds_[1]);
        if (std::abs(u - here.u) >= std::abs(failed - here.u)) u = 0.5 * (here.u + failed);
        if (std::abs(u - here.u) < 1e-3) no_size(here);
        try {
            return solve(u, std::nullopt);
        } catch (const InputError& e) {
            beyond_bounds_ = std::string("further on: ") + e.what();
        } catch (const NoAnswer& e) {
            beyond_bounds_ = std::string("further on: ") + e.what();
        }
        failed = u;
    }
}

Bracket Sizer::straddle(const Trial& first) {
    Trial here = first;
    double reach = 1.1;
    for (;;) {
        const Trial next = beyond(here, reach * here.miss + (here.miss > 0.0 ? 1e-3 : -1e-3));
        if ((next.miss > 0.0) != (here.miss > 0.0)) return here.miss > 0.0 ? Bracket{here, next} : Bracket{next, here};
        here = next;
        reach *= 1.5;  // a single side moves the frequency less than in proportion
    }
}

long Sizer::count_holes(const Changes& changes) const {
    const Device device = design_at_(changes);
    try {
        return static_cast<long>(place(*device.holes, device.outline).size());
    } catch (const NoAnswer&) {
        return 0;
    }
}

long Sizer::count_holes(double u, const std::optional<double>& border) const {
    if (!sizes_field()) return count_holes(changes_at(u, border));
    HolePattern holes = *start_.holes;  // no front needs to be drawn for it
    for (Length& side : *holes.field) side = Length::from_si(std::exp(u) * side.si());
    return static_cast<long>(place_holes(holes).size());
}

/// The least field that holds the design's holes.
std::array<double, 2> Sizer::filled_field(const Device& device) {
    const Box box = extent(holes_in_place(device));
    const auto side = [](double low, double high) {
        return std::ceil(1e10 * 2.0 * std::max(std::abs(low), std::abs(high)) - 1e-3) / 1e10;
    };
    return {side(box.low.x, box.high.x), side(box.low.y, box.high.y)};
}

Trial Sizer::search() {
    return sizes_field() ? search_field() : search_outline();
}

}  // namespace tymbal
