#include "tymbal/task/size.h"

#include "tymbal/base/error.h"
#include "tymbal/film/cell_memo.h"
#include "tymbal/geometry/lattice.h"
#include "tymbal/task/effective_film.h"
#include "tymbal/task/named_mode.h"
#include "tymbal/task/predict.h"

#include "sized_lengths.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <limits>

namespace tymbal {

namespace {

constexpr double promised = 1e-4;  // relative distance from the target
constexpr double sought = 2e-5;    // leaves room for rounding the lengths
constexpr double finest_accuracy = 2e-5;

/// One solved size. Scales are searched on their logarithm.
struct Trial {
    double u = 0.0;     ///< ln(scale)
    double miss = 0.0;  ///< ln(f / target)
    long holes = 0;
    std::optional<double> margin;  ///< where it had to give way, m
    Sensitivity sensitivity;
    int index = 0;
    std::string label;
};

/// Film too large and film too small.
struct Bracket {
    Trial above, below;  ///< of the target frequency; above.u < below.u unless the mode is odd
};

double size_weight(const Sensitivity& s, Sizing sizing) {
    if (sizing == Sizing::width) return 0.5 * s.width;
    return 0.5 * (sizing == Sizing::height ? s.height : s.scale);
}

/// How many more solutions it takes from such a miss, the last one with losses and all: each step of Newton's doubles
/// the digits.
double solutions_left(double miss) {
    const double digits = std::log(std::clamp(std::abs(miss), sought, 0.5)) / std::log(sought);
    return 1.0 - std::log2(digits);
}

class Sizer {
public:
    Sizer(const DesignAt& design_at, const SizeWish& wish, const CellMemo& cells, const Progressed& progressed)
        : design_at_(design_at),
          wish_(wish),
          cells_(cells),
          progressed_(progressed),
          start_(design_at({})),
          mode_(wish.mode) {
        accuracy_ = start_.solve.accuracy;
        require_side();
        bounds_ = scale_bounds(start_, wish.sizing);
    }

    /// Landed, or as near as whole holes let it come.
    Trial search();

    [[nodiscard]] Changes changes_at(double u, const std::optional<double>& margin) const;
    [[nodiscard]] Changes rounded(const Trial& trial) const;
    [[nodiscard]] const Design& start() const { return start_; }
    [[nodiscard]] const std::string& mode() const { return mode_; }
    [[nodiscard]] int solutions() const { return solutions_; }
    [[nodiscard]] double accuracy() const { return accuracy_; }
    [[nodiscard]] const std::string& how() const { return how_; }

private:
    void require_side() const;
    Trial solve(double u, const std::optional<double>& margin);
    Bracket straddle(const Trial& first);
    Trial beyond(const Trial& here, double step);
    std::optional<Trial> close_in(Bracket& ends, const std::optional<long>& kept_holes);
    bool split_at_row(Bracket& ends);
    std::optional<Trial> with_row_left_out(const Trial& last_without);
    [[nodiscard]] std::optional<double> margin_for(double u, long holes) const;
    [[nodiscard]] long count_holes(const Changes& changes) const;
    [[nodiscard]] long count_holes(double u, const std::optional<double>& margin) const {
        return count_holes(changes_at(u, margin));
    }
    [[noreturn]] void no_size(const Trial& nearest) const;

    const DesignAt& design_at_;
    const SizeWish& wish_;
    const CellMemo& cells_;
    const Progressed& progressed_;
    Design start_;
    std::string mode_;
    double accuracy_ = 0.0;
    std::array<double, 2> bounds_{};               ///< of u
    std::array<double, 2> failed_{-1e300, 1e300};  ///< nearest sizes beyond which there is no answer
    std::string beyond_bounds_ = "the allowed sizes end there";
    int solutions_ = 0;
    std::string how_;
};

void Sizer::require_side() const {
    const bool one_side = wish_.sizing == Sizing::width || wish_.sizing == Sizing::height;
    if (one_side && !std::holds_alternative<Rectangle>(start_.outline))
        throw InputError({}, "--side", "needs a rectangle; other outlines are sized as a whole");
    if (wish_.sizing == Sizing::outline_and_holes && !start_.holes)
        throw InputError({}, "--scale-holes", "the design has no holes; leave it out");
}

Changes Sizer::changes_at(double u, const std::optional<double>& margin) const {
    const double scale = std::exp(u);
    Changes changes;
    if (wish_.sizing == Sizing::width)
        changes.push_back({"outline.width", scale * std::get<Rectangle>(start_.outline).width.si()});
    else if (wish_.sizing == Sizing::height)
        changes.push_back({"outline.height", scale * std::get<Rectangle>(start_.outline).height.si()});
    else
        changes.push_back({"outline.scale", scale});
    if (wish_.sizing == Sizing::outline_and_holes) changes.push_back({"holes.scale", scale});
    if (margin) changes.push_back({"holes.margin", *margin});
    if (accuracy_ != start_.solve.accuracy) changes.push_back({"solve.accuracy", accuracy_});
    return changes;
}

Changes Sizer::rounded(const Trial& trial) const {
    Changes changes = written_lengths(start_, design_at_(changes_at(trial.u, trial.margin)), wish_.sizing);
    if (changes.empty()) return changes_at(trial.u, trial.margin);  // lists of points
    // Holes that touch their margin exactly may lose it by rounding.
    constexpr double slack = 2e-9;
    for (Change& change : changes)
        if (change.key == "holes.margin" && count_holes(changes) != trial.holes)
            change.value = std::get<double>(change.value) - slack;
    if (accuracy_ != start_.solve.accuracy) changes.push_back({"solve.accuracy", accuracy_});
    return changes;
}

Trial Sizer::solve(double u, const std::optional<double>& margin) {
    const Design design = design_at_(changes_at(u, margin));
    const FilmOnOutline laid = lay_out(design, cells_);
    const ModeSet set = find_modes({design.outline, laid.film, design.solve.modes, design.solve.accuracy});
    ++solutions_;
    const auto found = find_mode(set.modes, mode_);
    if (!found && solutions_ == 1)
        throw InputError({}, "--mode",
                         "the design has no mode '" + mode_ + "' among its lowest " +
                             std::to_string(design.solve.modes) + ": " + list_labels(set.modes) +
                             "; name one of them, or ask for more with --modes");
    if (!found) throw NoAnswer("the mode " + mode_ + " is not among the lowest at this size");
    const Mode& mode = set.modes[*found];
    mode_ = lasting_name(mode);
    const double miss = std::log(mode.frequency_hz / wish_.frequency_hz);
    tell(progressed_, solutions_ / (solutions_ + solutions_left(miss)));
    return {u, miss, static_cast<long>(laid.holes.size()), margin, set.sensitivities[*found], mode.index, mode.label};
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
    const Design design = design_at_(changes);
    try {
        return static_cast<long>(place_holes(*design.holes, boundary(design.outline)).size());
    } catch (const NoAnswer&) {
        return 0;
    }
}

/// The least margin, no less than the design's, that keeps the number of holes.
std::optional<double> Sizer::margin_for(double u, long holes) const {
    const double pitch = start_.holes->pitch.si();
    double low = start_.holes->margin.si(), high = low + pitch;
    if (count_holes(u, std::nullopt) == holes) return std::nullopt;
    while (high - low > 1e-4 * pitch) {
        const double middle = 0.5 * (low + high);
        (count_holes(u, middle) > holes ? low : high) = middle;
    }
    if (count_holes(u, high) != holes) return std::nullopt;
    const double inside = high + 1e-2 * pitch;  // not on the very edge, so that rounding keeps the number
    return count_holes(u, inside) == holes ? inside : high;
}

/// Root of the miss between two sizes, each with the holes that fit or with `kept_holes` of them: Newton's step from
/// the nearer end by the mode's own sensitivity, the middle where that leaves the bracket. Empty when the ends have
/// come together without meeting the target.
std::optional<Trial> Sizer::close_in(Bracket& ends, const std::optional<long>& kept_holes) {
    for (int step = 0; step < 60; ++step) {
        const Trial& nearer = std::abs(ends.above.miss) < std::abs(ends.below.miss) ? ends.above : ends.below;
        if (std::abs(nearer.miss) < sought) return nearer;
        const double low = std::min(ends.above.u, ends.below.u), high = std::max(ends.above.u, ends.below.u);
        if (high - low < 1e-7) return std::nullopt;
        double u = nearer.u - nearer.miss / size_weight(nearer.sensitivity, wish_.sizing);
        if (!(u > low && u < high) || step % 4 == 3) {
            if (!kept_holes && ends.above.holes != ends.below.holes) {
                if (split_at_row(ends)) return std::nullopt;
                continue;
            }
            u = 0.5 * (low + high);
        }
        const Trial next = solve(u, kept_holes ? margin_for(u, *kept_holes) : std::nullopt);
        (next.miss > 0.0 ? ends.above : ends.below) = next;
    }
    return std::nullopt;
}

/// Brings the ends to both sides of a size where the number of holes changes, if the target lies in that jump; else one
/// end to it. @return whether it does
bool Sizer::split_at_row(Bracket& ends) {
    double left = ends.above.u, right = ends.below.u;
    while (std::abs(right - left) > 1e-7) {
        const double middle = 0.5 * (left + right);
        (count_holes(middle, std::nullopt) == ends.above.holes ? left : right) = middle;
    }
    const Trial before = solve(left, std::nullopt);
    (before.miss > 0.0 ? ends.above : ends.below) = before;
    if (before.miss <= 0.0) return false;
    const Trial after = solve(right, std::nullopt);
    (after.miss > 0.0 ? ends.above : ends.below) = after;
    return after.miss <= 0.0;
}

/// Beyond the jump with the holes it had before it.
std::optional<Trial> Sizer::with_row_left_out(const Trial& last_without) {
    const long holes = last_without.holes;
    try {
        const double step = last_without.u < bounds_[1] ? 1.3 * last_without.miss : 0.0;
        const double u = std::min(last_without.u + step, bounds_[1]);
        Bracket ends{last_without, solve(u, margin_for(u, holes))};
        if (ends.below.miss > 0.0) return std::nullopt;
        std::optional<Trial> landed = close_in(ends, holes);
        if (landed && landed->holes != holes) return std::nullopt;
        return landed;
    } catch (const NoAnswer&) {
        return std::nullopt;
    } catch (const InputError&) {
        return std::nullopt;
    }
}

Trial Sizer::search() {
    Trial first = solve(std::clamp(0.0, bounds_[0], bounds_[1]), std::nullopt);
    for (;;) {
        if (std::abs(first.miss) < sought) return first;
        Bracket ends = straddle(first);
        if (const auto landed = close_in(ends, std::nullopt)) {
            how_ = std::holds_alternative<Released>(start_.outline)
                       ? "field, pitch and holes scale together; the undercut stays"
                       : "the outline alone gives way";
            return *landed;
        }
        const Trial& nearest = std::abs(ends.above.miss) < std::abs(ends.below.miss) ? ends.above : ends.below;
        if (ends.above.holes != ends.below.holes) {
            if (const auto landed = with_row_left_out(ends.above)) {
                how_ =
                    "a row of holes would appear at just this size: the margin of the hole field gives way and it is "
                    "left out";
                return *landed;
            }
            how_ =
                "a row of holes appears at just this size and the frequency jumps over the target: the nearest design";
            return nearest;
        }
        if (accuracy_ <= finest_accuracy) {
            how_ = "the solution's own steps are wider than the tolerance: the nearest design";
            return nearest;
        }
        accuracy_ = std::max(accuracy_ / 4.0, finest_accuracy);
        first = solve(nearest.u, std::nullopt);
    }
}

template <class Q>
SizeTolerance film_tolerance(const char* input, double weight, const Sourced<Q>& value, const char* unit) {
    SizeTolerance t{input, weight, 0.0, value.si(), unit, std::nullopt};
    if (value.deviation_si() > 0.0 && value.si() != 0.0) t.known_to = value.deviation_si() / std::abs(value.si());
    return t;
}

std::vector<SizeTolerance> tolerances(const SizedDesign& sized, const Design& design, const Sensitivity& s,
                                      Sizing sizing) {
    std::vector<SizeTolerance> all;
    const double length = sized.lengths.empty() ? sized.scale : sized.lengths.front().after;
    all.push_back({"size", size_weight(s, sizing), 0.0, length, sized.lengths.empty() ? "1" : "m", std::nullopt});
    all.push_back(film_tolerance("film.stress", 0.5 * s.stress, design.film.stress, "Pa"));
    all.push_back(film_tolerance("film.thickness", 0.5 * s.thickness, design.film.thickness, "m"));
    for (SizeTolerance& t : all)
        t.relative = t.weight != 0.0 ? sized.window / std::abs(t.weight) : std::numeric_limits<double>::infinity();
    return all;
}

std::optional<DrawnField> drawn_field(const Design& design) {
    const Released* released = std::get_if<Released>(&design.outline);
    if (released == nullptr || !design.release) return std::nullopt;
    const HoleSizes sizes =
        hole_sizes(design.holes->size, design.process, wall_recession(*design.release, design.film.material));
    // The front lies one undercut outside the released edges of the outermost holes.
    const Box box = bounding_box(released->front);
    const double less = 2.0 * released->undercut.si() + sizes.released.width - sizes.drawn.width;
    return DrawnField{sizes.drawn.width, box.high.x - box.low.x - less, box.high.y - box.low.y - less};
}

}  // namespace

SizedDesign size(const DesignAt& design_at, const SizeWish& wish, const Materials& materials,
                 const Progressed& progressed) {
    if (std::holds_alternative<Released>(design_at({}).outline) && wish.sizing != Sizing::outline_and_holes)
        throw InputError({}, "--scale-holes",
                         "is needed: the outline is what the etch sets free round the holes, and whole holes make its "
                         "frequency jump; with it field, pitch and holes scale together");
    const CellMemo cells;
    Sizer sizer(design_at, wish, cells, progressed);
    const Trial trial = sizer.search();
    SizedDesign out;
    out.changes = sizer.rounded(trial);
    const Design design = design_at(out.changes);
    const Prediction p = predict(design, materials, {cells, true});
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
    out.landed = std::abs(out.frequency_hz / wish.frequency_hz - 1.0) < promised;
    out.how = sizer.how();
    if (!out.landed && std::abs(trial.miss) < sought)
        out.how = "rounding the lengths to 0.1 nm changes the holes that fit: the nearest design";
    out.scale = std::exp(trial.u);
    out.accuracy = sizer.accuracy();
    out.lengths = sized_lengths(sizer.start(), design);
    out.hole_count = p.film.hole_count;
    out.drawn = drawn_field(design);
    out.tolerances = tolerances(out, design, trial.sensitivity, wish.sizing);
    out.solutions = sizer.solutions() + 1;
    out.sources = p.sources;
    return out;
}

}  // namespace tymbal
