#include "candidates.h"

#include "tymbal/base/error.h"
#include "tymbal/task/named_mode.h"

#include "../base/plain.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>

namespace tymbal {

namespace {

constexpr double default_window = 0.01;

bool logarithmic(const FreeKey& key) {
    return key.low > 0.0 && key.high > 3.0 * key.low;
}

bool outline_length(const FreeKey& key) {
    return key.key.rfind("outline.", 0) == 0;
}

/// Rounded, but not beyond the ends of its range.
double six_digits(double value, const FreeKey& key) {
    return std::clamp(rounded(value, 6), key.low, key.high);
}

/// Does the outline grow with it, in proportion or nearly so?
bool sizes_outline(const FreeKey& key, const Device& device) {
    return outline_length(key) || (key.key == "holes.field" && std::holds_alternative<Released>(device.outline));
}

bool is_low(const std::string& key) {
    return key == "limits.frequency (low)";
}
bool is_high(const std::string& key) {
    return key == "limits.frequency (high)";
}

bool is_largest(const std::string& key) {
    return key.rfind("limits.largest_", 0) == 0;
}

/// A figure without which the limit is not held.
bool must_be_known(const std::string& key) {
    return key == "limits.least_collapse_margin" || key == "limits.least_g0" || key == "limits.least_cooperativity";
}

/// The figure that a limit speaks of.
std::optional<double> figure_for(const std::string& key, const Candidate& c) {
    if (key == "limits.least_ligament") return c.figures->ligament_m;
    if (key == "limits.least_fracture_margin") return c.figures->fracture_margin;
    if (key == "limits.least_collapse_margin") return c.figures->collapse_margin;
    if (key == "limits.least_qf") return c.figures->modes.front().qf_hz;
    if (key == "limits.least_reflectivity") return c.figures->reflectivity;
    if (key == "limits.least_chance_to_reflect") return c.figures->chance_to_reflect;
    if (key == "limits.least_g0") return c.mode().single_photon_coupling_hz;
    if (key == "limits.least_cooperativity") return c.mode().single_photon_cooperativity;
    if (key == "limits.largest_release_time") return c.figures->release.release_time_s;
    if (key == "limits.largest_film_loss") return c.figures->release.film_loss_m;
    if (key == "limits.largest_over_etch") return c.figures->release.over_etch_m;
    return c.mode().frequency_hz;
}

/// Light that misses the mode, or no coupling at all: such a design is no answer to a search for coupling.
void require_aimed_at(const Device& start, const DesignFigures& figures) {
    const ModeFigure& mode = figures.modes[figures.target];
    if (figure_aimed_at(start.target.aim, mode)) return;
    if (mode.single_photon_coupling_hz)
        throw NoAnswer("the cavity's light does not meet the mode " + mode.label +
                       ", which has no coupling; move readout.position or name another mode in target.mode");
    throw NoAnswer("the coupling of the mode " + mode.label +
                   " to the cavity is not known: a layer has no refractive index, or no resonance was found; "
                   "`tymbal cavity` says which");
}

}  // namespace

double chance_in(const std::array<double, 2>& window_hz, double frequency_hz, double deviation_hz) {
    if (deviation_hz <= 0.0) return frequency_hz >= window_hz[0] && frequency_hz <= window_hz[1] ? 1.0 : 0.0;
    const auto below = [&](double f) { return 0.5 * std::erfc((frequency_hz - f) / (std::sqrt(2.0) * deviation_hz)); };
    return below(window_hz[1]) - below(window_hz[0]);
}

Candidates::Candidates(const ChoiceJob& job) : job_(job), start_(job.device_at({})) {
    for (const FreeKey& key : start_.free) (key.names.empty() ? numbers_ : names_).push_back(key);
    if (start_.free.empty())
        throw InputError(
            {start_.file, 0}, "free",
            "is missing; choose needs keys that it may move, e.g. \"holes.diameter\" = [\"1 um\", \"4 um\"]");
    if (numbers_.size() > 8) throw InputError({start_.file, 0}, "free", "has more than eight numbers to move");
    if (start_.target.frequency) target_ = start_.target.frequency->si();
    if (start_.limits.frequency)
        window_ = {(*start_.limits.frequency)[0].si(), (*start_.limits.frequency)[1].si()};
    else if (target_)
        window_ = {(1.0 - default_window) * *target_, (1.0 + default_window) * *target_};
    if (job.robust && !window_)
        throw InputError({start_.file, 0}, "target.frequency",
                         "is missing; a robust choice needs it, or a window in limits.frequency");
    const auto is_free = [&](const char* key) {
        return std::any_of(numbers_.begin(), numbers_.end(), [&](const FreeKey& f) { return f.key == key; });
    };
    keeps_aspect_ =
        std::holds_alternative<Rectangle>(start_.outline) && is_free("outline.width") != is_free("outline.height");
    // Modes above the target's cost time and decide nothing; two more let it change places.
    modes_ = static_cast<double>(start_.solve.modes);
    try {
        const DesignFigures first = design_figures(start_, job.materials, {cells_, true, false, job.large, light_});
        modes_ = static_cast<double>(std::min(first.modes.size(), first.target + 3));
        if (job.robust && first.modes[first.target].frequency_std_hz == 0.0)
            throw InputError(
                {start_.file, 0}, "film.stress",
                "has no deviation, nor has any other input that moves the frequency; a robust choice needs one, "
                "e.g. \"1.0 +- 0.1 GPa\"");
    } catch (const NoAnswer&) {  // the design as it stands may have none; others may
    }
}

std::size_t Candidates::name_count() const {
    std::size_t product = 1;
    for (const FreeKey& key : names_) product *= key.names.size();
    return product;
}

std::vector<ChoiceLimit> Candidates::limits(const std::string& relaxed, double share) const {
    const Limits& l = start_.limits;
    std::vector<ChoiceLimit> all;
    const auto add = [&](const char* key, const std::optional<double>& limit, const char* unit) {
        const double eased = is_largest(key) ? 1.0 + share : 1.0 - share;
        if (limit) all.push_back({key, *limit * (relaxed == key ? eased : 1.0), unit});
    };
    const auto si = [](const auto& quantity) {
        return quantity ? std::optional<double>(quantity->si()) : std::nullopt;
    };
    add("limits.least_ligament", si(l.least_ligament), "m");
    add("limits.least_fracture_margin", l.least_fracture_margin, "1");
    if (start_.release && start_.release->drying) add("limits.least_collapse_margin", l.least_collapse_margin, "1");
    add("limits.least_qf", si(l.least_qf), "Hz");
    add("limits.least_reflectivity", start_.readout ? l.least_reflectivity : std::nullopt, "1");
    add("limits.least_chance_to_reflect", start_.readout ? l.least_chance_to_reflect : std::nullopt, "1");
    const bool in_cavity = start_.cavity && start_.readout;
    add("limits.least_g0", in_cavity ? si(l.least_g0) : std::nullopt, "Hz");
    add("limits.least_cooperativity", in_cavity ? l.least_cooperativity : std::nullopt, "1");
    const ReleaseFigures known = release_figures(start_);
    const auto add_wet = [&](const char* key, const std::optional<double>& figure, const std::optional<double>& limit,
                             const char* unit) {
        if (figure) add(key, limit, unit);
    };
    add_wet("limits.largest_release_time", known.release_time_s, si(l.largest_release_time), "s");
    add_wet("limits.largest_film_loss", known.film_loss_m, si(l.largest_film_loss), "m");
    add_wet("limits.largest_over_etch", known.over_etch_m, si(l.largest_over_etch), "m");
    if (!window_) return all;
    const double width = (*window_)[1] - (*window_)[0];
    const auto wider = [&](const char* key) { return relaxed == key ? share * width : 0.0; };
    all.push_back({"limits.frequency (low)", (*window_)[0] - wider("limits.frequency (low)"), "Hz"});
    all.push_back({"limits.frequency (high)", (*window_)[1] + wider("limits.frequency (high)"), "Hz"});
    return all;
}

double Candidates::value(const FreeKey& key, double x) const {
    if (x <= 0.0) return key.low;
    if (x >= 1.0) return key.high;
    return logarithmic(key) ? key.low * std::pow(key.high / key.low, x) : key.low + (key.high - key.low) * x;
}

double Candidates::place(const FreeKey& key, double value) const {
    const double x = logarithmic(key) ? std::log(value / key.low) / std::log(key.high / key.low)
                                      : (value - key.low) / (key.high - key.low);
    return std::clamp(x, 0.0, 1.0);
}

Changes Candidates::changes(const Spot& spot) const {
    Changes all;
    std::size_t names = spot.names;
    for (const FreeKey& key : names_) {
        all.push_back({key.key, key.names[names % key.names.size()]});
        names /= key.names.size();
    }
    for (std::size_t k = 0; k < numbers_.size(); ++k) {
        const FreeKey& key = numbers_[k];
        // Lengths to a nanometre, all else to six digits: they are solved as they are printed.
        double v = value(key, spot.x[k]);
        v = key.high < 1.0 && key.low >= 1e-7 ? std::round(1e9 * v) / 1e9 : six_digits(v, key);
        all.push_back({key.key, v});
        if (!keeps_aspect_ || !outline_length(key)) continue;
        const Rectangle& r = std::get<Rectangle>(start_.outline);
        const double aspect = r.height.si() / r.width.si();
        if (key.key == "outline.width") all.push_back({"outline.height", std::round(1e10 * v * aspect) / 1e10});
        if (key.key == "outline.height") all.push_back({"outline.width", std::round(1e10 * v / aspect) / 1e10});
    }
    return all;
}

void Candidates::judge(Candidate& c, const std::vector<ChoiceLimit>& limits) const {
    c.margins.assign(limits.size(), -1.0);
    c.feasible = c.figures.has_value();
    if (!c.figures) return;
    std::array<double, 2> window = window_.value_or(std::array<double, 2>{-1.0, 1.0});
    const double half = 0.5 * (window[1] - window[0]);
    for (std::size_t k = 0; k < limits.size(); ++k) {
        const double limit = limits[k].limit;
        const std::optional<double> is = figure_for(limits[k].key, c);
        if (is_low(limits[k].key)) window[0] = limit;
        if (is_high(limits[k].key)) window[1] = limit;
        if (!is)  // a film without holes has no ligament to break, nor an exact one a chance to miss
            c.margins[k] = must_be_known(limits[k].key) ? -1.0 : 1.0;
        else if (std::isinf(*is))
            c.margins[k] = 1.0;  // no meniscus
        else if (is_low(limits[k].key) || is_high(limits[k].key))
            c.margins[k] = (is_low(limits[k].key) ? *is - limit : limit - *is) / half;
        else if (is_largest(limits[k].key))
            c.margins[k] = 1.0 - *is / limit;
        else
            c.margins[k] = limit > 0.0 ? *is / limit - 1.0 : 1.0;
        c.feasible = c.feasible && c.margins[k] >= 0.0;
    }
    const ModeFigure& mode = c.mode();
    c.chance = window_ && mode.frequency_std_hz > 0.0
                   ? std::optional<double>(chance_in(window, mode.frequency_hz, mode.frequency_std_hz))
                   : std::nullopt;
}

Candidate Candidates::solve(const Spot& spot, const std::vector<ChoiceLimit>& limits) const {
    Candidate c;
    c.changes = changes(spot);
    try {
        Changes all = c.changes;
        all.push_back({"solve.modes", modes_});
        DesignFigures figures =
            design_figures(job_.device_at(all), job_.materials, {cells_, false, false, job_.large, light_});
        require_aimed_at(start_, figures);
        c.figures = std::move(figures);
    } catch (const InputError& e) {
        c.error = e.what();
    } catch (const NoAnswer& e) {
        c.error = e.what();
    }
    if (c.figures && target_) c.frequency_error = std::abs(c.mode().frequency_hz / *target_ - 1.0);
    judge(c, limits);
    return c;
}

bool Candidates::in_window(const Candidate& c) const {
    if (!c.figures || !window_) return false;
    const double f = c.mode().frequency_hz;
    return f >= (*window_)[0] && f <= (*window_)[1];
}

bool Candidates::likely(const Candidate& c) const {
    return !c.chance || *c.chance >= job_.least_chance;
}

std::optional<Spot> Candidates::towards_target(const Spot& spot, const Candidate& candidate) const {
    if (!candidate.figures || !window_) return std::nullopt;
    const double aim = target_.value_or(0.5 * ((*window_)[0] + (*window_)[1]));
    Spot next = spot;
    bool moved = false;
    for (std::size_t k = 0; k < numbers_.size(); ++k) {
        if (!sizes_outline(numbers_[k], start_)) continue;
        next.x[k] = place(numbers_[k], value(numbers_[k], spot.x[k]) * candidate.mode().frequency_hz / aim);
        moved = moved || std::abs(next.x[k] - spot.x[k]) > 1e-6;
    }
    return moved ? std::optional<Spot>(next) : std::nullopt;
}

std::vector<std::string> Candidates::unchecked() const {
    std::vector<std::string> notes;
    if (start_.limits.least_reflectivity && !start_.readout)
        notes.emplace_back("limits.least_reflectivity is not checked: the design has no [readout] with a wavelength");
    if ((start_.limits.least_g0 || start_.limits.least_cooperativity) && !(start_.cavity && start_.readout))
        notes.emplace_back(
            "limits on g0 and cooperativity are not checked: the design has no [cavity], or no [readout] with a "
            "wavelength");
    const ReleaseFigures known = release_figures(start_);
    if (!known.release_time_s && start_.holes)
        notes.push_back("release time is not known without " +
                        std::string(known.over_etch_m ? "an etch rate (release.etchant with release.sacrificial, or "
                                                        "release.rate)"
                                                      : "release.undercut or release.time") +
                        "; it is left out of the trade-offs");
    const Limits& l = start_.limits;
    if (l.least_collapse_margin && !(start_.release && start_.release->drying))
        notes.emplace_back("limits.least_collapse_margin is not checked: the design names no liquid as release.drying");
    if ((l.largest_release_time && !known.release_time_s) || (l.largest_film_loss && !known.film_loss_m) ||
        (l.largest_over_etch && !known.over_etch_m))
        notes.emplace_back(
            "limits on release time, film loss or over-etch are not checked: [release] does not say enough for them");
    return notes;
}

}  // namespace tymbal
