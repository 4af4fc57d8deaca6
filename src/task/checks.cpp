#include "tymbal/task/checks.h"

#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"
#include "tymbal/geometry/overlap.h"
#include "tymbal/task/design_figures.h"
#include "tymbal/task/named_mode.h"
#include "tymbal/task/released_film.h"

#include "../base/plain.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace tymbal {

namespace {

std::string percent(double share) {
    return plain(100.0 * share, 2).append(" %");
}

std::string engineering(double value, const char* unit) {
    return plain(value).append(" ").append(unit);
}

/// Largest local wave number of the modes asked for, 1/m: root of D k^4 + N k^2 = m omega^2.
double highest_wave_number(const ModeSet& set, const EffectiveFilm& film) {
    const double tension = std::max({film.tension_x_n_per_m, film.tension_y_n_per_m, 0.0});
    const double omega = 2.0 * constants::pi * set.modes.back().frequency_hz;
    const double inertia = film.areal_density_kg_per_m2 * omega * omega;
    // The form without a difference of nearly equal numbers where tension rules.
    const double k2 =
        2.0 * inertia / (tension + std::sqrt(tension * tension + 4.0 * film.bending_stiffness_n_m * inertia));
    return std::sqrt(k2);
}

double smaller_principal(const std::array<double, 3>& n) {
    return 0.5 * (n[0] + n[1]) - std::hypot(0.5 * (n[0] - n[1]), n[2]);
}

void warn_compression(const ModeSet& set, Warnings& out) {
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t c = 0; c < set.fine.tension.tension.size(); ++c)
        if (set.fine.tension.known[c]) least = std::min(least, smaller_principal(set.fine.tension.tension[c]));
    if (least < 0.0 && set.fine.holes_resolved && !set.cut_stress)
        out.push_back({"compressed",
                       "part of the film is compressed (down to " + engineering(least, "N/m") +
                           "); it is taken as slack there, what that moves is in each mode's error. Narrow parts stay "
                           "flat by their bending stiffness, wide ones wrinkle"});
    else if (least < 0.0)
        out.push_back(
            {"compressed",
             "part of the film is compressed (down to " + engineering(least, "N/m") +
                 "); it is stable at this size, but wrinkles and curvature from deposition are not in the model"});
}

void warn_fracture(const Device& device, const EffectiveFilm& film, Warnings& out) {
    const Sourced<Stress>& strength = device.film.strength;
    if (film.fracture_margin > 2.0) return;
    out.push_back({"fracture", "the largest stress, " + engineering(1e-9 * film.stress_peak_von_mises_pa, "GPa") +
                                   ", is within a factor " + engineering(film.fracture_margin, "") +
                                   "of the film's strength " + engineering(1e-9 * strength.si(), "GPa") + " +- " +
                                   engineering(1e-9 * strength.deviation_si(), "GPa") +
                                   "; strength scatters widely from film to film"});
}

void warn_theory(const Device& device, const ModeSet& set, const EffectiveFilm& film, Warnings& out) {
    const double half_wave = constants::pi / highest_wave_number(set, film);
    const double h = device.film.thickness.si();
    if (h > half_wave / 20.0)
        out.push_back(
            {"thick-plate", "the film's thickness is " + percent(h / half_wave) +
                                " of the shortest half-wave asked "
                                "for; thin-plate theory leaves out shear and reads high there (above one twentieth)"});
}

void warn_averaging(const Device& device, const FilmOnOutline& laid, const ModeSet& set, const EffectiveFilm& film,
                    Warnings& out) {
    if (!laid.film.cell) return;
    const double pitch = device.holes->pitch.si();
    const double half_wave = constants::pi / highest_wave_number(set, film);
    if (pitch > 0.25 * half_wave)
        out.push_back({"averaging",
                       "the hole pitch is " + percent(pitch / half_wave) +
                           " of the shortest half-wave asked "
                           "for; the averaged model is meant for a quarter or less, its upper modes are unreliable"});
    if (laid.holes.size() < 16)
        out.push_back({"few-holes", "only " + std::to_string(laid.holes.size()) +
                                        " holes: averaging over the lattice is a "
                                        "rough picture of so few"});
    if (!device.holes->omit.empty())
        out.push_back({"omitted-sites",
                       "omitted lattice sites are averaged into the film round them; a mode bound to such "
                       "a defect is not seen by the averaged model"});
    const Released* released = std::get_if<Released>(&device.outline);
    if (film.edge_layer_m > (released != nullptr ? released->undercut.si() : device.holes->margin.si()))
        out.push_back(
            {"layer-in-field",
             "the clamped-edge bending layer (" + engineering(1e6 * film.edge_layer_m, "um") +
                 ") is wider than the solid margin; holes inside it change the edge loss by an amount that is not "
                 "computed"});
    if (device.holes->shape != HoleShape::circle)
        out.push_back({"sharp-corners",
                       "stress at a sharp hole corner has no finite value; the peak given is that near the "
                       "corner at the cell grid's resolution, real corners are rounded"});
}

template <class Q>
void list(std::vector<SourceLine>& lines, const char* name, const Sourced<Q>& value, const char* unit) {
    lines.push_back({name, value.si(), value.deviation_si(), unit,
                     value.source().citation + " [" + to_string(value.source().origin) + "]"});
}

void list_outline(const Outline& outline, std::vector<SourceLine>& lines) {
    if (const auto* r = std::get_if<Rectangle>(&outline)) {
        list(lines, "outline.width", r->width, "m");
        list(lines, "outline.height", r->height, "m");
    } else if (const auto* s = std::get_if<Strip>(&outline)) {
        list(lines, "outline.length", s->length, "m");
        list(lines, "outline.width", s->width, "m");
    } else if (const auto* d = std::get_if<Disc>(&outline)) {
        list(lines, "outline.diameter", d->diameter, "m");
    } else if (const auto* a = std::get_if<Ring>(&outline)) {
        list(lines, "outline.outer_diameter", a->outer_diameter, "m");
        list(lines, "outline.inner_diameter", a->inner_diameter, "m");
    } else if (const auto* f = std::get_if<Released>(&outline)) {
        list(lines, "release.undercut", f->undercut, "m");
    }
}

void list_film(const Film& film, std::vector<SourceLine>& lines) {
    list(lines, "film.thickness", film.thickness, "m");
    list(lines, "film.stress", film.stress, "Pa");
    list(lines, "film.temperature", film.temperature, "K");
    list(lines, "film.youngs_modulus", film.youngs_modulus, "Pa");
    list(lines, "film.poisson_ratio", film.poisson_ratio, "1");
    list(lines, "film.density", film.density, "kg/m^3");
    list(lines, "film.thermal_expansion", film.thermal_expansion, "1/K");
    list(lines, "film.thermal_conductivity", film.thermal_conductivity, "W/(m K)");
    list(lines, "film.heat_capacity", film.heat_capacity, "J/(kg K)");
    list(lines, "film.strength", film.strength, "Pa");
    list(lines, "film.quality_volume", film.quality_volume, "1");
    list(lines, "film.quality_surface", film.quality_surface, "1/m");
    list(lines, "film.extinction", film.extinction, "1");
    for (const FilmLayer& layer : film.layers) {
        list(lines, ("film.layer " + layer.material + " thickness").c_str(), layer.thickness, "m");
        list(lines, ("film.layer " + layer.material + " stress").c_str(), layer.stress, "Pa");
    }
}

void list_release(const Release& release, const std::string& film_row, std::vector<SourceLine>& lines) {
    if (const std::optional<EtchPair> pair = etch_pair(release, film_row)) {
        list(lines, "etch rate of the sacrificial layer", pair->sacrificial, "m/s");
        if (pair->film) list(lines, "etch rate of the film", *pair->film, "m/s");
    }
    if (!release.drying) return;
    list(lines, "drying.surface_tension", release.drying->surface_tension, "N/m");
    if (release.drying->adhesion) list(lines, "drying.adhesion", *release.drying->adhesion, "J/m^2");
}

/// Rates that thinning and time hang on and that nobody has given.
void warn_rates(const Device& device, Warnings& out) {
    const Release& release = *device.release;
    const std::optional<EtchPair> pair = etch_pair(release, device.film.material);
    if (!pair)
        out.push_back({"rates",
                       "etch time and thinning of the film are not known: the design names no etchant with "
                       "its sacrificial layer; name them, or give your own release.rate and release.film_rate"});
    else if (!pair->film)
        out.push_back({"film-rate", "thinning of the film is not counted: no rate on '" + device.film.material +
                                        "' is known" +
                                        (release.etchant ? " for '" + release.etchant->row + "'" : std::string()) +
                                        "; measure it on a test piece and give it as release.film_rate"});
}

/// What a design lacks whose undercut is not known; null: it is known.
const char* why_no_undercut(const Device& device) {
    if (!device.holes) return "the design has no holes to etch through";
    if (!device.release) return "the design has no [release]";
    return undercut_of(*device.release, device.film.material)
               ? nullptr
               : "[release] gives no undercut, nor a time with an etch rate";
}

}  // namespace

Warnings validity_warnings(const Device& device, const FilmOnOutline& laid, const ModeSet& set,
                           const EffectiveFilm& film) {
    Warnings out;
    warn_compression(set, out);
    warn_fracture(device, film, out);
    warn_theory(device, set, film, out);
    warn_averaging(device, laid, set, film, out);
    const Warnings wet = release_warnings(device);
    out.insert(out.end(), wet.begin(), wet.end());
    return out;
}

Warnings release_warnings(const Device& device) {
    Warnings out;
    if (!device.release || !device.holes) return out;
    const std::optional<Sourced<Length>> undercut = undercut_of(*device.release, device.film.material);
    if (!undercut || !(undercut->si() > 0.0)) return out;
    warn_rates(device, out);
    const Warnings thin = thinning_warnings(released_film(device));
    out.insert(out.end(), thin.begin(), thin.end());
    const Released* released = std::get_if<Released>(&device.outline);
    const PlacedHoles holes = holes_in_place(device);
    std::vector<Loop> all;
    try {
        all = loops(released != nullptr ? released->front : front(holes, undercut->si()));
    } catch (const NoAnswer& e) {  // the window's film is solved without its front
        out.push_back(
            {"front-unknown", std::string("what the etch leaves under the window is not known: ") + e.what()});
        return out;
    }
    const auto pillars = std::count_if(all.begin(), all.end(), [](const Loop& l) { return l.area < 0.0; });
    if (pillars > 0) {
        std::string text = std::to_string(pillars);
        text.append(" pillars of oxide remain between the holes; ")
            .append(released != nullptr ? "the film is solved as held there"
                                        : "the film of this window is solved as if they were gone")
            .append(" (`tymbal release` says which undercut clears them)");
        out.push_back({"pillars", text});
    }
    if (released == nullptr && beyond_front(boundary(device.outline), holes, undercut->si()) > 0.0)
        out.push_back(
            {"rim-not-reached",
             "the undercut does not reach the outline everywhere; what hangs free is smaller than the outline "
             "of the design"});
    return out;
}

Warnings layer_warnings(const Film& film) {
    Warnings out;
    if (film.layers.empty()) return out;
    constexpr double lossy = 1e4;  // nitride's own quality is a few thousand at 50 nm, its volume's 28 000
    out.push_back({"layers", "figures of the film are those of the uniform film of " +
                                 engineering(1e9 * film.thickness.si(), "nm") +
                                 " that pulls, weighs, stretches and bends like all layers together; stress and "
                                 "strength of single layers are not told apart"});
    for (const FilmLayer& layer : film.layers) {
        const auto& quality = layer.properties.quality_volume;
        if (!quality || quality->si() > lossy) continue;
        out.push_back({"layer-at-rim",
                       layer.material +
                           " covers the clamped rim, where the film bends most, and its own quality is of "
                           "the order of " +
                           engineering(quality->si(), "") +
                           "(an order of magnitude): a layer kept off the rim costs far less Q (Yu, Purdy and Regal, "
                           "Phys. Rev. Lett. 108, 083603 (2012), abstract)"});
    }
    return out;
}

Warnings patch_warnings(const Device& device, const EffectiveFilm& film) {
    Warnings out;
    if (device.patches.empty()) return out;
    out.push_back({"patches",
                   "layers over part of the film enter tension, mass, bending and loss; light, heat and thermal "
                   "expansion see the film without them, and what their moment bends the film near their edge is left "
                   "out"});
    const Boundary rim = boundary(device.outline);
    for (const FilmPatch& patch : device.patches) {
        double nearest = signed_distance(rim, patch.area.front());
        for (const Point p : patch.area) nearest = std::min(nearest, signed_distance(rim, p));
        if (nearest > 5.0 * film.edge_layer_m) continue;
        out.push_back({"layer-at-rim",
                       patch.layers.front().material +
                           " reaches the clamped layer at the rim, where the film bends most: that layer is taken as "
                           "the bare film's, so the Q given is too high; a layer kept off the rim costs far less Q "
                           "(Yu, Purdy and Regal, Phys. Rev. Lett. 108, 083603 (2012), abstract)"});
    }
    return out;
}

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

std::vector<SourceLine> list_sources(const Device& device, const Solid& substrate) {
    std::vector<SourceLine> lines;
    if (device.release) list_release(*device.release, device.film.material, lines);
    list_film(device.film, lines);
    for (const FilmPatch& patch : device.patches)
        for (const FilmLayer& layer : patch.layers) {
            list(lines, ("film.layer " + layer.material + " thickness, on its area").c_str(), layer.thickness, "m");
            list(lines, ("film.layer " + layer.material + " stress, on its area").c_str(), layer.stress, "Pa");
        }
    list_outline(device.outline, lines);
    if (device.holes) {
        list(lines, "holes.size", device.holes->size, "m");
        if (device.holes->lattice != Lattice::list) list(lines, "holes.pitch", device.holes->pitch, "m");
    }
    if (substrate.youngs_modulus) list(lines, "chip.youngs_modulus", *substrate.youngs_modulus, "Pa");
    if (substrate.poisson_ratio) list(lines, "chip.poisson_ratio", *substrate.poisson_ratio, "1");
    if (substrate.density) list(lines, "chip.density", *substrate.density, "kg/m^3");
    if (device.surroundings) {
        list(lines, "surroundings.pressure", device.surroundings->pressure, "Pa");
        list(lines, "gas.molar_mass", device.surroundings->gas.molar_mass, "kg/mol");
        list(lines, "gas.viscosity", device.surroundings->gas.viscosity, "Pa s");
    }
    return lines;
}

}  // namespace tymbal
