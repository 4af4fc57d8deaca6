#include "sources.h"

#include <optional>
#include <string>

namespace tymbal {

namespace {

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

}  // namespace

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
