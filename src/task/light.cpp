#include "tymbal/task/light.h"

#include "../base/golden.h"

#include "chance_to_reflect.h"
#include "stack_light.h"
#include "unpolarised.h"

#include "tymbal/base/error.h"
#include "tymbal/light/fitted_film.h"
#include "tymbal/readout/refractive_index.h"
#include "tymbal/task/seen_film.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace tymbal {

namespace {

constexpr double least_waist = 2.0;     // wavelengths, of a Gaussian beam
constexpr double coarsest_pitch = 2.0;  // wavelengths; a spot on a coarser lattice takes minutes

void keep_going(const LightOptions& options) {
    if (options.keep_going) options.keep_going();
}

/// Asked for by all that solves at many wavelengths.
LayeredFilmAt film_by_wavelength(const Film& film, const LightOptions& options) {
    return [&](double wavelength_m) {
        keep_going(options);
        return LayeredFilm{solid_layers(film, wavelength_m)};
    };
}

LatticeResponse plain_film(const std::vector<OpticalLayer>& layers, double wavelength_m) {
    return as_lattice(respond({1.0, layers, 1.0}, wavelength_m));
}

LatticeSpectrum plain_spectrum(const Film& film, const LightOptions& options, WavelengthRange range) {
    LatticeSpectrum out;
    for (int k = 0; k < options.points; ++k) {
        const double wavelength = range.from_m + (range.to_m - range.from_m) * k / (options.points - 1);
        const LatticeResponse r = plain_film(solid_layers(film, wavelength), wavelength);
        out.wavelength_m.push_back(wavelength);
        out.reflectivity.push_back(r.reflectivity);
        out.transmission.push_back(r.transmission);
        out.error.push_back(0.0);
    }
    return out;
}

template <class Q>
SourceLine source(const char* name, const Sourced<Q>& value) {
    const Source& from = value.source();
    const bool plain = from.origin == Origin::design;
    return {name, value.si(), value.deviation_si(), "m",
            plain ? from.citation : from.citation + " (" + to_string(from.origin) + ")"};
}

/// By deviations that are independent of each other.
double line_deviation(const LineSlopes& slopes, const Device& device, double wavelength_m) {
    const HolePattern& holes = *device.holes;
    const double parts[] = {slopes.per_pitch * holes.pitch.deviation_si(), slopes.per_size * holes.size.deviation_si(),
                            slopes.per_thickness * device.film.thickness.deviation_si(),
                            slopes.per_index_m * index_at(device.film.index, wavelength_m).deviation};
    double sum = 0.0;
    for (const double part : parts) sum += part * part;
    return std::sqrt(sum);
}

std::vector<LightLine> lines_of(const Device& device, const LightOptions& options, WavelengthRange range) {
    const HoleLattice holes = lattice_of(*device.holes);
    const LayeredFilmAt film = film_by_wavelength(device.film, options);
    const std::vector<ResonanceLine> found = find_lines(holes, film, range);
    const std::vector<std::optional<LineSlopes>> slopes = line_slopes(holes, film, range, found);
    std::vector<LightLine> out;
    for (std::size_t k = 0; k < found.size(); ++k) {
        out.push_back({found[k], slopes[k]});
        if (slopes[k]) out.back().deviation_m = line_deviation(*slopes[k], device, found[k].wavelength_m);
    }
    return out;
}

/// Where the field of a line reflects most within a width and a half of it.
void find_peak(const std::function<SeenFilm(double)>& film, WavelengthRange range, LightLine& line) {
    constexpr int steps = 300;
    constexpr double reach = 1.5, sure = 0.25;  // widths
    const ResonanceLine& l = line.line;
    const double from = std::max(range.from_m, l.wavelength_m - reach * l.width_m);
    const double to = std::min(range.to_m, l.wavelength_m + reach * l.width_m);
    if (l.error_m > sure * l.width_m) return;
    const auto reflected = [&](double at) {
        const SeenFilm seen = film(at);
        return l.field == LightField::along ? seen.along.reflectivity : seen.across.reflectivity;
    };
    const double step = (to - from) / steps;
    int best = 0;
    for (int k = 0; k <= steps; ++k) {
        const double r = reflected(from + k * step);
        if (r <= line.peak_reflectivity) continue;
        line.peak_reflectivity = r;
        best = k;
    }
    if (best == 0 || best == steps) return;
    line.peak_m = highest_between(reflected, from + (best - 1) * step, from + (best + 1) * step);
    line.peak_reflectivity = std::max(line.peak_reflectivity, reflected(*line.peak_m));
}

void find_peaks(const Device& device, const LightOptions& options, WavelengthRange range,
                std::vector<LightLine>& lines) {
    if (lines.empty()) return;
    const auto film = fit_film(lattice_of(*device.holes), film_by_wavelength(device.film, options), range);
    for (LightLine& line : lines) find_peak(film, range, line);
}

void find_chance(const Device& device, const LightOptions& options, LightReport& out) {
    constexpr int many = 256;
    out.least_reflectivity = device.limits.least_reflectivity;
    const auto solve = [&](const LatticeLight& seen) {
        keep_going(options);
        return see_lattice(seen);
    };
    if (out.least_reflectivity)
        out.chance_to_reflect = chance_to_reflect(device, out.wavelength_m, *out.least_reflectivity, solve, many);
}

WavelengthRange usual_range(const LightReport& report, const Device& device) {
    constexpr double wide = 1.5, half = 0.5;
    if (!report.holes) return {(1.0 - half) * report.wavelength_m, (1.0 + half) * report.wavelength_m};
    const double limit = diffraction_limit_m(lattice_of(*device.holes));
    return {limit, wide * limit};
}

void see_lattice(const Device& device, const LightOptions& options, LightReport& out) {
    const HoleLattice holes = lattice_of(*device.holes);
    const LayeredFilm film{solid_layers(device.film, out.wavelength_m)};
    out.by_polarisation = {{LightField::along, respond(holes, film, out.wavelength_m)}};
    out.by_polarisation.push_back(
        {LightField::across, alike_along_and_across(holes)
                                 ? out.by_polarisation.front().response
                                 : respond(holes, film, out.wavelength_m, LightField::across)});
    out.lines = lines_of(device, options, out.range);
    find_peaks(device, options, out.range, out.lines);
    const bool beam = out.waist_m && *out.waist_m >= least_waist * out.wavelength_m;
    if (beam && holes.pitch_m <= coarsest_pitch * out.wavelength_m)
        out.spot = respond_to_spot(holes, film, out.wavelength_m, *out.waist_m);
}

void see_plain_film(const Device& device, LightReport& out) {
    const LatticeResponse r = plain_film(solid_layers(device.film, out.wavelength_m), out.wavelength_m);
    out.by_polarisation = {{LightField::along, r}, {LightField::across, r}};
}

void warn_of_inputs(const Device& device, const LightReport& report, Warnings& out) {
    const Dispersion& index = device.film.index;
    if (!index_at(index, report.wavelength_m).inside || !index_at(index, report.range.from_m).inside ||
        !index_at(index, report.range.to_m).inside)
        out.push_back(
            {"index-range",
             "part of the wavelengths lies outside the range of the film's index data, which is extrapolated"});
    if (!device.openings.empty() || (device.holes && !device.holes->omit.empty()))
        out.push_back({"openings",
                       "openings beside the lattice and sites left out are not seen by light: the lattice is "
                       "taken to be endless"});
    if (!device.patches.empty())
        out.push_back({"patches", "patches are not seen by light: it falls on the film beside them"});
    if (device.readout->below != "none" && !report.stack)
        out.push_back({"substrate",
                       "the film alone is computed, in vacuum on both sides: the material row of what lies "
                       "below it, '" +
                           device.readout->below + "', has no refractive index"});
}

/// Fields at a metal's corners are sharp, and few orders can agree by chance.
void warn_of_metal(const std::vector<OpticalLayer>& layers, Warnings& out) {
    if (std::any_of(layers.begin(), layers.end(),
                    [](const OpticalLayer& l) { return l.index.imag() > l.index.real(); }))
        out.push_back({"metal",
                       "a layer is of metal, for which the solution converges slowly: the error by truncation may "
                       "be several times what is stated"});
}

void warn_of_result(const Device& device, const LightReport& report, Warnings& out) {
    if (report.mean.diffracts)
        out.push_back({"diffracts",
                       "the readout wavelength is below the diffraction limit: reflectivity and transmission "
                       "are those of the zero order, the diffracted power stands beside them"});
    if (report.holes && report.waist_m && !report.spot)
        out.push_back({"no-spot",
                       "the spot is left out: it is of less than two wavelengths, no Gaussian beam, or the pitch is of "
                       "more than two"});
    if (!report.holes || !report.waist_m || !device.holes->field) return;
    const auto& field = *device.holes->field;
    if (2.0 * *report.waist_m > std::min(field[0].si(), field[1].si()))
        out.push_back({"wide-spot", "the spot is wider than the hole field; the figures take the field to be endless"});
}

std::vector<SourceLine> sources_of(const Device& device) {
    std::vector<SourceLine> out{source("film.thickness, as released", device.film.thickness)};
    if (!device.holes) return out;
    out.push_back(source("holes.pitch", device.holes->pitch));
    out.push_back(source("holes.size, as released", device.holes->size));
    return out;
}

}  // namespace

LightReport light(const Device& device, const Materials& materials, const LightOptions& options) {
    if (!device.readout) throw NoAnswer("the design has no [readout]; give readout.wavelength, that of the light");
    LightReport out;
    out.title = device.title;
    out.sha256 = device.sha256;
    out.released = released_film(device);
    out.wavelength_m = device.readout->wavelength.si();
    out.holes = device.holes.has_value();
    if (device.readout->spot_radius.si() > 0.0) out.waist_m = device.readout->spot_radius.si();
    out.range = options.range ? *options.range : usual_range(out, device);
    const std::vector<OpticalLayer> layers = solid_layers(device.film, out.wavelength_m);
    if (layers.empty()) throw NoAnswer("a layer's material row has no refractive index, so light is not computed");
    out.film_index = layers.back().index.real();
    out.film_extinction = layers.back().index.imag();
    if (out.holes)
        see_lattice(device, options, out);
    else
        see_plain_film(device, out);
    out.mean = unpolarised(out.by_polarisation);
    out.spectrum = out.holes ? spectrum(lattice_of(*device.holes), film_by_wavelength(device.film, options), out.range,
                                        options.points)
                             : plain_spectrum(device.film, options, out.range);
    if (has_stack(device, materials)) out.stack = see_stack(device, materials);
    if (out.stack && out.holes) see_lines_over_gap(device, materials, options, out.lines);
    find_chance(device, options, out);
    out.sources = sources_of(device);
    warn_of_inputs(device, out, out.warnings);
    if (out.holes) warn_of_metal(layers, out.warnings);
    warn_of_result(device, out, out.warnings);
    return out;
}

}  // namespace tymbal
