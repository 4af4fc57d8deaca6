#include "tymbal/task/wafer.h"

#include "tymbal/base/error.h"
#include "tymbal/task/solved.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

/// Mean and deviation of a list: scatter of its places together with the mean measuring error.
struct MeanOf {
    double value = 0.0, deviation = 0.0;
};

template <class Get>
MeanOf mean_of(const std::vector<Die>& dies, Get get) {
    MeanOf m;
    const auto count = static_cast<double>(dies.size());
    for (const Die& die : dies) m.value += get(die).si() / count;
    double variance = 0.0;
    for (const Die& die : dies) {
        const double off = get(die).si() - m.value, own = get(die).deviation_si();
        variance += (off * off + own * own) / count;
    }
    m.deviation = std::sqrt(variance);
    return m;
}

void add_thickness(const Wafer& wafer, WaferFilm& out) {
    out.thickness_m = wafer.bend.film_front.si();
    out.thickness_std_m = wafer.bend.film_front.deviation_si();
    out.index_wavelength_m = wafer.index_wavelength_m;
    if (wafer.index) {
        out.index = wafer.index->si();
        out.index_std = wafer.index->deviation_si();
    }
    if (wafer.dies.empty()) return;
    const MeanOf h = mean_of(wafer.dies, [](const Die& d) { return d.thickness; });
    out.thickness_m = h.value;
    out.thickness_std_m = h.deviation;
    const bool indexed = std::all_of(wafer.dies.begin(), wafer.dies.end(), [](const Die& d) { return d.index; });
    if (!indexed) return;
    const MeanOf n = mean_of(wafer.dies, [](const Die& d) { return *d.index; });
    out.index = n.value;
    out.index_std = n.deviation;
}

void warn_wafer(const Wafer& wafer, WaferFilm& out) {
    const double given = wafer.bend.film_front.si(), mapped = out.thickness_m;
    if (std::abs(given - mapped) > 2.0 * std::hypot(wafer.bend.film_front.deviation_si(), out.thickness_std_m))
        out.warnings.push_back({"thickness-apart",
                                "the film's thickness and the mean of the dies disagree by more than two deviations; "
                                "the stress is that of the former, the design gets the latter"});
    if (out.stress.stress_std_pa > 0.15 * std::abs(out.stress.stress_pa))
        out.warnings.push_back({"wide-stress",
                                "the stress is known to no better than 15 %; the input named first in "
                                "the list decides, measure it again"});
    if (wafer.bend.wafer_thickness.deviation_si() == 0.0)
        out.warnings.push_back({"exact-wafer",
                                "the wafer's thickness has no deviation; it enters squared, and wafers of 525 um are "
                                "sold with +- 15 um, which is 5.7 % of stress"});
    if (std::abs(out.stress.stress_pa) > 5e9)
        out.warnings.push_back({"stress-size",
                                "a stress of that size is not known from nitride films; check signs, "
                                "units, scan length and which faces carry films"});
}

template <class Q>
SourceLine source_line(const std::string& name, const Sourced<Q>& value, const char* unit) {
    return {name, value.si(), value.deviation_si(), unit,
            value.source().citation + " [" + to_string(value.source().origin) + "]"};
}

std::vector<SourceLine> stress_sources(const Wafer& wafer, const Biaxial& modulus) {
    const WaferBend& bend = wafer.bend;
    std::vector<SourceLine> lines{source_line("first shape", bend.before, "1/m"),
                                  source_line("second shape", bend.after, "1/m"),
                                  source_line("wafer thickness", bend.wafer_thickness, "m"),
                                  {"biaxial modulus", modulus.modulus, modulus.deviation, "Pa",
                                   "constants of the row " + wafer.wafer_material + " [derived]"},
                                  source_line("film thickness", bend.film_front, "m")};
    for (const OtherLayer& layer : bend.others) {
        lines.push_back(source_line(layer.name + " thickness", layer.thickness, "m"));
        lines.push_back(source_line(layer.name + " stress", layer.stress, "Pa"));
    }
    return lines;
}

double normal_share(double from, double to, double centre, double deviation) {
    if (!(deviation > 0.0)) return centre >= from && centre <= to ? 1.0 : 0.0;
    const auto below = [&](double x) { return 0.5 * std::erfc((centre - x) / (deviation * std::sqrt(2.0))); };
    return below(to) - below(from);
}

}  // namespace

WaferFilm film_of_wafer(const Wafer& wafer, const Materials& materials) {
    WaferBend bend = wafer.bend;
    const Biaxial modulus = biaxial_modulus(materials.solids.at(wafer.wafer_material), wafer.surface_111);
    bend.biaxial_modulus = modulus.modulus;
    bend.biaxial_modulus_std = modulus.deviation;
    WaferFilm out;
    out.title = wafer.title;
    out.sha256 = wafer.sha256;
    out.stress = stoney(bend);
    out.biaxial_modulus_pa = modulus.modulus;
    out.curvature_before_per_m = bend.before.si();
    out.curvature_after_per_m = bend.after.si();
    out.shape_given_as = wafer.shape_given_as;
    // Next term of the bent bilayer, 4 M_f/M_s h_f/h_s (Freund and Suresh, Thin Film Materials, ch. 2, from memory).
    const Biaxial film = biaxial_modulus(materials.solids.at(wafer.film_material), false);
    out.first_order_error = 4.0 * film.modulus / modulus.modulus * bend.film_front.si() / bend.wafer_thickness.si();
    add_thickness(wafer, out);
    out.sources = stress_sources(wafer, modulus);
    warn_wafer(wafer, out);
    return out;
}

bool index_fits(const WaferFilm& film, const Device& device) {
    if (!film.index || !device.readout) return false;
    return std::abs(film.index_wavelength_m / device.readout->wavelength.si() - 1.0) < 0.02;
}

Device with_film(const Device& device, const WaferFilm& film) {
    Device changed = device;
    const Source source{"film of the wafer, from its shape", Origin::derived};
    const FilmLoss loss = device.film_loss.value_or(FilmLoss{});  // the wafer's film has not seen the wet etch yet
    changed.film.thickness = {Length::from_si(film.thickness_m - loss.mean()),
                              Length::from_si(std::hypot(film.thickness_std_m, loss.mean() * loss.relative_spread)),
                              source};
    changed.film.stress = {Stress::from_si(film.stress.stress_pa), Stress::from_si(film.stress.stress_std_pa), source};
    return changed;
}

void add_forecast(const Wafer& wafer, const Device& device, const std::string& label, WaferFilm& film) {
    if (!device.film.layers.empty() || !device.patches.empty())
        throw NoAnswer(
            "the design has layers on its film; a forecast per die needs a film without [[film.layer]], take "
            "them out");
    const Device changed = with_film(device, film);
    if (film.index && !index_fits(film, device))
        film.warnings.push_back({"index-elsewhere",
                                 "the index was taken at another wavelength than the design's light; "
                                 "the design keeps its own index"});
    const SolvedDesign solved = solve(changed);
    const auto& modes = solved.set.modes;
    const auto found = label.empty()
                           ? modes.begin()
                           : std::find_if(modes.begin(), modes.end(), [&](const Mode& m) { return m.label == label; });
    if (found == modes.end()) throw NoAnswer("no mode has the label '" + label + "'; ask for more modes in [solve]");
    const Mode& mode = *found;
    film.mode = mode.label;
    const Sensitivity& weight = solved.set.sensitivities[static_cast<std::size_t>(found - modes.begin())];
    double others = mode.discretisation_error_hz * mode.discretisation_error_hz;
    for (const Contribution& c : mode.contributions)
        if (c.input != "film.thickness" && c.input != "film.stress") others += c.share_hz * c.share_hz;
    const double common_stress = 0.5 * weight.stress * film.stress.stress_std_pa / film.stress.stress_pa;
    for (const Die& die : wafer.dies) {
        const double by_stress = die.stress ? die.stress->si() / film.stress.stress_pa : 1.0;
        if (!(by_stress > 0.0)) throw NoAnswer("die '" + die.name + "' has no tension of the wafer's sign");
        const double by_thickness = die.thickness.si() / film.thickness_m;
        const double f = mode.frequency_hz * std::pow(by_thickness, 0.5 * weight.thickness) *
                         std::pow(by_stress, 0.5 * weight.stress);
        const double own = 0.5 * weight.thickness * f * die.thickness.deviation_si() / die.thickness.si();
        const double pull =
            f * (die.stress ? 0.5 * weight.stress * die.stress->deviation_si() / die.stress->si() : common_stress);
        DieForecast forecast{die, f, std::sqrt(others + own * own + pull * pull), {}};
        if (const auto& window = device.limits.frequency)
            forecast.chance = normal_share((*window)[0].si(), (*window)[1].si(), f, forecast.frequency_std_hz);
        film.forecast.push_back(std::move(forecast));
    }
}

}  // namespace tymbal
