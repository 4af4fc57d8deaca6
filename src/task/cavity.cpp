#include "tymbal/task/cavity.h"

#include "film_in_cavity.h"
#include "plan_light.h"
#include "printed.h"

#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"
#include "tymbal/geometry/boundary.h"
#include "tymbal/task/named_mode.h"
#include "tymbal/task/solved.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace tymbal {

namespace {

constexpr double on_a_node = 1e-6;  // overlap below which light does not meet a mode

/// The design with the readout's spot as wide as the cavity's, so that all figures under the spot are the cavity's.
Device under_cavity_spot(const Device& device) {
    if (!device.cavity)
        throw InputError({device.file, 0}, "cavity",
                         "is missing; give a section [cavity] with length and input_transmission (or finesse)");
    if (!device.readout)
        throw InputError({device.file, 0}, "readout", "is missing; the cavity needs the wavelength of its light");
    if (!(signed_distance(boundary(device.outline), device.readout->position) > 0.0))
        throw InputError({device.file, 0}, "readout.position",
                         "lies beside the film, which the cavity's light then misses; put the spot on the film");
    Device seen = device;
    seen.readout->spot_radius = device.cavity->waist;
    return seen;
}

CavityLine line_at(const CavityReport& r) {
    return {r.wavelength_m, r.travel.place.kappa_hz, r.travel.place.kappa_input_hz};
}

double power_of(const CavityReport& r) {
    return r.settings.power ? r.settings.power->si() : 0.0;
}

/// The detuning that leaves least by back-action, for designs that give no power.
double quietest_detuning_hz(const CavityLine& line, const CoupledMode& mode) {
    return -std::hypot(mode.frequency_hz, 0.5 * line.kappa_hz);
}

DrivenMode drive(const CavityLine& line, const ModeInCavity& m, double power_w) {
    const CavityDrive at{power_w, m.detuning_hz};
    DrivenMode out;
    out.photons = photons(line, at);
    out.cooperativity = m.single_photon_cooperativity * out.photons;
    out.quantum_cooperativity = out.cooperativity / m.mode.thermal_occupancy;
    out.force = optical_force(line, m.mode, at);
    out.coupling_over_kappa = m.mode.g0_hz * std::sqrt(out.photons) / line.kappa_hz;
    out.final_occupancy = final_occupancy(line, m.mode, at);
    out.best = best_detuning(line, m.mode, power_w);
    out.back_action_quanta = back_action_quanta(line, m.mode, power_w);
    out.feedback_limit = feedback_limit(line, m.mode, power_w);
    return out;
}

ModeInCavity see_mode(const PredictedMode& p, const CavityReport& r) {
    const CavityLine line = line_at(r);
    const double power = power_of(r), coupling = std::abs(r.travel.place.linear_coupling_hz_per_m);
    ModeInCavity m;
    m.index = p.mode.index;
    m.label = p.mode.label;
    m.partner = p.mode.partner;
    m.frequency_deviation_hz = std::hypot(p.mode.frequency_std_hz, 0.5 * p.mode.discretisation_error_hz);
    m.overlap = *p.figures.spot_overlap;
    const bool met = std::abs(m.overlap) > on_a_node;
    m.mode = {p.mode.frequency_hz, p.figures.linewidth_hz, p.figures.thermal_occupancy,
              met ? coupling * p.figures.zero_point_m * std::abs(m.overlap) : 0.0};
    m.single_photon_cooperativity = single_photon_cooperativity(line, m.mode);
    m.back_action_limit = back_action_limit(line, m.mode);
    m.thermal_rms_hz = thermal_rms_hz(coupling * m.overlap, p.figures.spring_constant_n_per_m, r.temperature_k);
    m.detuning_hz = quietest_detuning_hz(line, m.mode);
    if (const auto best = power > 0.0 ? best_detuning(line, m.mode, power) : std::nullopt)
        m.detuning_hz = best->detuning_hz;
    if (r.settings.detuning) m.detuning_hz = r.settings.detuning->si();
    if (met)
        m.power_for_quantum_cooperativity_w =
            power_for_photons_w(line, m.detuning_hz, m.mode.thermal_occupancy / m.single_photon_cooperativity);
    if (power > 0.0) m.driven = drive(line, m, power);
    return m;
}

std::vector<ThermalTone> tones_of(const std::vector<ModeInCavity>& modes) {
    std::vector<ThermalTone> tones;
    for (const ModeInCavity& m : modes) tones.push_back({m.mode.frequency_hz, m.mode.linewidth_hz, m.thermal_rms_hz});
    return tones;
}

NoiseAtMode noise_at(const std::vector<ThermalTone>& tones, const std::vector<MixedTone>& mixed, std::size_t wanted) {
    const double at = tones[wanted].frequency_hz;
    double others = 0.0, sums = 0.0;
    for (std::size_t k = 0; k < tones.size(); ++k)
        if (k != wanted) others += std::pow(noise_hz_per_rthz(tones[k], at), 2);
    for (const MixedTone& m : mixed) sums += std::pow(noise_hz_per_rthz(m.tone, at), 2);
    return {noise_hz_per_rthz(tones[wanted], at), std::sqrt(others), std::sqrt(sums)};
}

/// Where the loudest modes would mix another mode's motion onto the wanted one.
std::vector<QuietFrequency> quiet_frequencies(const std::vector<ModeInCavity>& modes, std::size_t wanted) {
    constexpr std::size_t loudest = 3;
    std::vector<const ModeInCavity*> loud;
    for (const ModeInCavity& m : modes)
        if (std::abs(m.overlap) > on_a_node) loud.push_back(&m);
    std::stable_sort(loud.begin(), loud.end(), [](const ModeInCavity* a, const ModeInCavity* b) {
        return a->thermal_rms_hz > b->thermal_rms_hz;
    });
    if (loud.size() > loudest) loud.resize(loudest);
    const double at = modes[wanted].mode.frequency_hz;
    std::vector<QuietFrequency> quiet;
    for (const ModeInCavity* m : loud) {
        if (m->mode.frequency_hz != at) quiet.push_back({std::abs(at - m->mode.frequency_hz), m->label});
        quiet.push_back({at + m->mode.frequency_hz, m->label});
    }
    std::sort(quiet.begin(), quiet.end(),
              [](const QuietFrequency& a, const QuietFrequency& b) { return a.frequency_hz < b.frequency_hz; });
    return quiet;
}

CavityNoise hear(const CavityReport& r, const std::optional<double>& stiffness_n_per_m) {
    constexpr std::size_t shown = 5;
    const double coupling = r.travel.place.linear_coupling_hz_per_m, kappa = r.travel.place.kappa_hz;
    const std::vector<ThermalTone> tones = tones_of(r.modes);
    CavityNoise out;
    for (const ThermalTone& tone : tones) out.listed_rms_hz = std::hypot(out.listed_rms_hz, tone.rms_hz);
    out.all_modes = stiffness_n_per_m.has_value();
    out.rms_hz = stiffness_n_per_m ? thermal_rms_hz(coupling, *stiffness_n_per_m, r.temperature_k) : out.listed_rms_hz;
    out.over_half_kappa = 2.0 * out.rms_hz / kappa;
    std::vector<MixedTone> mixed = mixed_tones(tones, kappa, r.modes[r.wanted].detuning_hz);
    out.at_wanted = noise_at(tones, mixed, r.wanted);
    const double at = tones[r.wanted].frequency_hz;
    std::stable_sort(mixed.begin(), mixed.end(), [&](const MixedTone& a, const MixedTone& b) {
        return std::abs(a.tone.frequency_hz - at) < std::abs(b.tone.frequency_hz - at);
    });
    mixed.erase(std::remove_if(mixed.begin(), mixed.end(),
                               [&](const MixedTone& m) {
                                   return std::min(std::abs(r.modes[m.first].overlap),
                                                   std::abs(r.modes[m.second].overlap)) < on_a_node;
                               }),
                mixed.end());
    if (mixed.size() > shown) mixed.resize(shown);
    out.nearest = mixed;
    out.quiet = quiet_frequencies(r.modes, r.wanted);
    return out;
}

/// The resonance's shift by one photon's force on the film at rest, h G^2/k; for the listed modes 2 g0^2/Omega each.
double shift_per_photon_hz(const CavityReport& r, const std::optional<double>& stiffness_n_per_m) {
    const double coupling = r.travel.place.linear_coupling_hz_per_m;
    if (stiffness_n_per_m) return constants::planck_j_s * coupling * coupling / *stiffness_n_per_m;
    return std::accumulate(r.modes.begin(), r.modes.end(), 0.0, [](double sum, const ModeInCavity& m) {
        return sum + 2.0 * m.mode.g0_hz * m.mode.g0_hz / m.mode.frequency_hz;
    });
}

void find_limits(const std::optional<double>& stiffness_n_per_m, CavityReport& r) {
    const CavityLine line = line_at(r);
    const double shift = shift_per_photon_hz(r, stiffness_n_per_m);
    if (shift > 0.0) r.bistable_power_w = power_for_photons_w(line, 0.0, bistable_photons(line, shift));
    const bool blue = r.settings.detuning && r.settings.detuning->si() > 0.0;
    for (const ModeInCavity& m : r.modes) {
        const auto found =
            blue ? unstable_power(line, m.mode, r.settings.detuning->si()) : least_unstable_power(line, m.mode);
        if (!found || (r.unstable && r.unstable->power_w <= found->power_w)) continue;
        r.unstable = found;
        r.unstable_mode = m.label;
    }
}

std::optional<CavityHeat> heat_film(const Device& device, const SolvedDesign& solved, const CavityReport& r) {
    const ModeInCavity& m = r.modes[r.wanted];
    if (!m.driven || !(r.travel.place.kappa_film_hz > 0.0)) return std::nullopt;
    const double quantum_j = constants::planck_j_s * constants::light_speed_m_per_s / r.wavelength_m;
    const double lost = r.film.absorption + r.film.diffracted;
    const double kept = lost > 0.0 ? std::clamp(r.film.absorption / lost, 0.0, 1.0) : 1.0;  // the rest goes aslant
    const double absorbed = kept * m.driven->photons * quantum_j * 2.0 * constants::pi * r.travel.place.kappa_film_hz;
    const Heating per_watt = heat_at_spot(device, solved);
    return CavityHeat{absorbed, absorbed * per_watt.hottest_k_per_w,
                      absorbed * per_watt.relative_shift_per_w[r.wanted]};
}

void warn_noise(CavityReport& r) {
    constexpr double notable = 0.5;
    const double ratio = r.noise.over_half_kappa;
    if (ratio < notable) return;
    const char* what = ratio < 1.0 ? "a linear readout is distorted" : "a linear readout is impossible";
    r.warnings.push_back(
        {"linear-readout",
         printed("thermal motion of the film moves the resonance by %.2g half widths of the cavity (rms): %s, and "
                 "products of pairs of modes fill the spectrum between them; take a wider cavity, a place of less "
                 "coupling, a colder film or one with fewer modes",
                 ratio, what)});
}

void warn_light(CavityReport& r) {
    const auto count = [&](auto&& test) { return std::count_if(r.modes.begin(), r.modes.end(), test); };
    constexpr double weak = 0.25;
    const auto strong = count([](const ModeInCavity& m) { return m.driven && m.driven->coupling_over_kappa > weak; });
    if (strong > 0)
        r.warnings.push_back(
            {"weak-coupling", printed("g = g0 sqrt(n_cav) is above kappa/4 for %ld of %zu modes: light and motion "
                                      "mix, their spring, damping and occupancy are no longer those of weak coupling",
                                      static_cast<long>(strong), r.modes.size())});
    const auto wild = count([](const ModeInCavity& m) { return m.driven && !m.driven->final_occupancy; });
    if (wild > 0)
        r.warnings.push_back(
            {"driven-by-light", printed("at this detuning and power the light drives %ld of %zu modes harder than they "
                                        "are damped, or takes away their spring: they have no final occupancy",
                                        static_cast<long>(wild), r.modes.size())});
    if (r.bistable_power_w && power_of(r) > *r.bistable_power_w)
        r.warnings.push_back({"bistable",
                              "the power is above the one from which the resonance has two states: a laser swept "
                              "across it jumps, approach from the side where it is stable; detunings here count "
                              "from the resonance as the light has pushed it"});
    if (!(power_of(r) > 0.0))
        r.warnings.push_back({"no-power",
                              "no power is given: photons, springs and occupancies are left out; give cavity.power "
                              "or readout.power"});
}

void warn_heat(CavityReport& r) {
    constexpr double notable = 0.1;  // of the temperature
    if (!r.heat || r.heat->hottest_k < notable * r.temperature_k) return;
    r.warnings.push_back(
        {"film-heats", printed("the light heats the film by %.2g K at its hottest, where frequencies, losses and "
                               "occupancies are those of %.3g K; take less power or a film that absorbs less",
                               r.heat->hottest_k, r.temperature_k)});
}

void warn_optics(const Device& device, const FilmAmplitudes& film, CavityReport& r) {
    constexpr double few = 10.0, changes = 0.1;
    if (r.travel.finesse < few)
        r.warnings.push_back(
            {"low-finesse", printed("the finesse is %.2g: the resonances overlap, and figures that rest on a single "
                                    "line are an orientation only",
                                    r.travel.finesse)});
    const double slope = std::max(std::abs(film.front_slope), std::abs(film.transmitted_slope));
    if (slope * 2.0 * constants::pi * r.travel.mode_spacing_hz > changes)
        r.warnings.push_back({"dispersive-film",
                              "the film's amplitudes change by a tenth and more between two modes of the cavity; "
                              "their delays are taken as constant, the coupling away from the wavelength is an "
                              "orientation only"});
    const double reach = signed_distance(boundary(device.outline), device.readout->position);
    const double waist = device.cavity->waist.si(), losses = 1.0 / r.travel.finesse;
    const double outside = reach > 0.0 ? std::exp(-2.0 * std::pow(reach / waist, 2)) : 1.0;
    if (outside > 0.1 * losses)
        r.warnings.push_back(
            {"clipped-spot", printed("up to %.1g of the spot's power passes the rim of the film, beside mirror and "
                                     "film losses of %.1g: the frame clips the cavity's mode; make the spot smaller "
                                     "or the film larger",
                                     outside, 2.0 * constants::pi * losses)});
}

/// @param device  under the cavity's spot, as are the other two
CavityReport put_in_cavity(const Device& device, const SolvedDesign& solved, const Prediction& prediction,
                           const LatticeSolver& light) {
    CavityReport r;
    r.title = device.title;
    r.sha256 = device.sha256;
    r.settings = *device.cavity;
    r.wavelength_m = device.readout->wavelength.si();
    r.temperature_k = device.film.temperature.si();
    const auto film = film_amplitudes(device, r.wavelength_m, light);
    if (!film || !prediction.slab)
        throw NoAnswer("a layer's material row has no refractive index: light in the cavity cannot be followed");
    r.film = prediction.slab->seen;
    r.warnings = prediction.warnings;
    r.sources = prediction.sources;
    r.travel = along_half_wavelength(cavity_optics(device, *film), *film, cavity_points);
    for (const PredictedMode& p : prediction.modes) r.modes.push_back(see_mode(p, r));
    const auto wanted = find_mode(solved.set.modes, device.target.mode);
    if (!wanted)
        throw NoAnswer("the mode '" + device.target.mode + "' of [target] is not among " +
                       list_labels(solved.set.modes) + "; ask for more modes or another one");
    r.wanted = *wanted;
    const auto& stiffness = prediction.film.static_stiffness_n_per_m;
    r.noise = hear(r, stiffness);
    find_limits(stiffness, r);
    r.heat = heat_film(device, solved, r);
    warn_noise(r);
    warn_light(r);
    warn_heat(r);
    warn_optics(device, *film, r);
    return r;
}

}  // namespace

CavityReport see_cavity(const Device& given, const Materials& materials, const Progressed& progressed,
                        const SolveEffort& large) {
    const Device device = under_cavity_spot(given);
    Effort effort;
    effort.large = large;
    const SolvedDesign solved = solve(device, effort);
    tell(progressed, 0.9);
    const Prediction prediction = complete(device, materials, solved);
    tell(progressed, 0.95);
    return put_in_cavity(device, solved, prediction, effort.light);
}

CavityReport see_cavity(const Device& given, const Materials& materials, const SolvedDesign& solved,
                        const Prediction& prediction, const Effort& effort) {
    const Device device = under_cavity_spot(given);
    if (device.readout->spot_radius.si() == given.readout->spot_radius.si())
        return put_in_cavity(device, solved, prediction, effort.light);
    // Modes know nothing of a spot, and what lies under another one follows from them. Splines alone are told the spot
    // before they solve: the film's deflection under it is part of their answer, so that they must solve again.
    if (!solved.set.cut_stress)
        return put_in_cavity(device, solved, complete(device, materials, solved, effort.light), effort.light);
    const SolvedDesign again = solve(device, effort);
    return put_in_cavity(device, again, complete(device, materials, again, effort.light), effort.light);
}

}  // namespace tymbal
