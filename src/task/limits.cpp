#include "limits.h"

#include "tymbal/base/error.h"
#include "tymbal/geometry/overlap.h"
#include "tymbal/task/design_figures.h"
#include "tymbal/task/named_mode.h"

#include <algorithm>
#include <string>
#include <utility>

namespace tymbal {

namespace {

/// What a design lacks whose undercut is not known; null: it is known.
const char* why_no_undercut(const Device& device) {
    if (!device.holes) return "the design has no holes to etch through";
    if (!device.release) return "the design has no [release]";
    return undercut_of(*device.release, device.film.material)
               ? nullptr
               : "[release] gives no undercut, nor a time with an etch rate";
}

}  // namespace

const PredictedMode& target_mode(const Device& device, const std::vector<PredictedMode>& modes) {
    const std::string& name = device.target.mode;
    const auto found =
        std::find_if(modes.begin(), modes.end(), [&](const PredictedMode& m) { return has_name(m.mode, name); });
    if (found == modes.end())
        throw NoAnswer("the mode '" + name + "' of [target] is not among the lowest " + std::to_string(modes.size()) +
                       "; raise solve.modes or name another");
    return *found;
}

std::optional<double> least_ligament_m(const Device& device) {
    if (!device.holes || device.holes->lattice == Lattice::list) return std::nullopt;
    const HolePattern& holes = *device.holes;
    const double pitch = holes.pitch.si();
    return pitch * lattice_ligament(holes.lattice, holes.shape, holes.size.si() / pitch);
}

std::vector<LimitCheck> check_limits(const Device& device, const EffectiveFilm& film,
                                     const std::vector<PredictedMode>& modes, const std::optional<LitFilm>& slab,
                                     const std::optional<double>& collapse) {
    const Limits& limits = device.limits;
    std::vector<LimitCheck> checks;
    const auto at_least = [&](const char* key, double limit, double value, const char* unit) {
        checks.push_back({key, limit, value, unit, value >= limit});
    };
    if (const auto ligament = least_ligament_m(device); limits.least_ligament && ligament)
        at_least("limits.least_ligament", limits.least_ligament->si(), *ligament, "m");
    if (limits.least_fracture_margin)
        at_least("limits.least_fracture_margin", *limits.least_fracture_margin, film.fracture_margin, "1");
    if (collapse) at_least("limits.least_collapse_margin", limits.least_collapse_margin.value_or(0.0), *collapse, "1");
    if (limits.least_qf) at_least("limits.least_qf", limits.least_qf->si(), modes.front().figures.qf_hz, "Hz");
    if (limits.least_reflectivity && slab)
        at_least("limits.least_reflectivity", *limits.least_reflectivity, slab->seen.reflectivity, "1");
    if (slab && slab->chance_to_reflect)
        at_least("limits.least_chance_to_reflect", limits.least_chance_to_reflect.value_or(0.0),
                 *slab->chance_to_reflect, "1");
    if (limits.least_g0 || limits.least_cooperativity) {
        const ModeFigures& seen = target_mode(device, modes).figures;
        if (limits.least_g0 && seen.single_photon_coupling_hz)
            at_least("limits.least_g0", limits.least_g0->si(), *seen.single_photon_coupling_hz, "Hz");
        if (limits.least_cooperativity && seen.single_photon_cooperativity)
            at_least("limits.least_cooperativity", *limits.least_cooperativity, *seen.single_photon_cooperativity, "1");
    }
    const ReleaseFigures wet = limits.largest_release_time || limits.largest_film_loss || limits.largest_over_etch
                                   ? release_figures(device)
                                   : ReleaseFigures{};
    const auto at_most = [&](const char* key, double limit, const std::optional<double>& value, const char* unit) {
        if (value) checks.push_back({key, limit, *value, unit, *value <= limit});
    };
    if (limits.largest_release_time)
        at_most("limits.largest_release_time", limits.largest_release_time->si(), wet.release_time_s, "s");
    if (limits.largest_film_loss)
        at_most("limits.largest_film_loss", limits.largest_film_loss->si(), wet.film_loss_m, "m");
    if (limits.largest_over_etch)
        at_most("limits.largest_over_etch", limits.largest_over_etch->si(), wet.over_etch_m, "m");
    if (limits.frequency) {
        const double f = target_mode(device, modes).mode.frequency_hz;
        at_least("limits.frequency (low)", (*limits.frequency)[0].si(), f, "Hz");
        checks.push_back(
            {"limits.frequency (high)", (*limits.frequency)[1].si(), f, "Hz", f <= (*limits.frequency)[1].si()});
    }
    return checks;
}

Warnings unchecked_limits(const Device& device, const std::vector<LimitCheck>& checks) {
    Warnings out;
    const auto say = [&](bool limited, const char* key, const char* why) {
        const auto checked = [&](const LimitCheck& check) { return check.key == key; };
        if (limited && std::none_of(checks.begin(), checks.end(), checked))
            out.push_back({"limit-unchecked", std::string(key).append(" is not checked: ").append(why)});
    };
    const Limits& limits = device.limits;
    say(limits.least_ligament && device.holes, "limits.least_ligament", "holes listed one by one have no pitch");
    say(limits.least_reflectivity.has_value(), "limits.least_reflectivity",
        device.readout ? "a layer's material row has no refractive index"
                       : "the design has no [readout] with a wavelength");
    say(limits.least_chance_to_reflect.has_value(), "limits.least_chance_to_reflect",
        device.readout ? "no input that moves the reflectivity has a deviation"
                       : "the design has no [readout] with a wavelength");
    for (const auto& [limited, key] : {std::pair{limits.least_g0.has_value(), "limits.least_g0"},
                                       std::pair{limits.least_cooperativity.has_value(), "limits.least_cooperativity"}})
        say(limited, key, "the design has no [cavity] with a [readout], or its resonance was not found");
    const char* etch = why_no_undercut(device);
    say(limits.largest_release_time.has_value(), "limits.largest_release_time",
        etch != nullptr ? etch : "no etch rate of the sacrificial layer is known; give it as release.rate");
    say(limits.largest_film_loss.has_value(), "limits.largest_film_loss",
        etch != nullptr ? etch : "the etch rate on the film is not known; give it as release.film_rate");
    say(limits.largest_over_etch.has_value(), "limits.largest_over_etch", etch != nullptr ? etch : "no front is known");
    return out;
}

}  // namespace tymbal
