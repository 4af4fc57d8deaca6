#include "tymbal/files/design_keys.h"

#include "figures.h"

#include "tymbal/base/error.h"
#include "tymbal/base/nearest.h"

#include <algorithm>

namespace tymbal {

namespace {

constexpr DesignKey keys[] = {
    {"", "title", {}, false, "free text"},
    {"film", "material", {}, false, "row of the material table, see `tymbal materials`"},
    {"film", "thickness", Kind::length, true, "as deposited"},
    {"film", "stress", Kind::stress, true, "as deposited, equal-biaxial, tensile positive; default: the row's"},
    {"film", "stress_temperature", Kind::temperature, false, "temperature the stress is stated for; default 295 K"},
    {"film", "temperature", Kind::temperature, false, "of the device and the gas; default 295 K"},
    {"film", "youngs_modulus", Kind::stress, true, "overrides the row, like all below"},
    {"film", "poisson_ratio", Kind::ratio, true, "-1 to 0.5"},
    {"film", "density", Kind::density, true, ""},
    {"film", "thermal_expansion", Kind::thermal_expansion, true, ""},
    {"film", "thermal_conductivity", Kind::thermal_conductivity, true, ""},
    {"film", "heat_capacity", Kind::heat_capacity, true, ""},
    {"film", "strength", Kind::stress, true, ""},
    {"film", "quality_volume", Kind::ratio, true, "intrinsic Q of the film's bulk"},
    {"film", "quality_surface", Kind::inverse_length, true, "intrinsic Q of its surfaces per thickness"},
    {"film", "extinction", Kind::ratio, true, "imaginary part of the index"},
    {"film", "index", Kind::ratio, true, "refractive index at the readout wavelength"},
    {"film", "layer", {}, false, "[[film.layer]]: layers on the film, from below upwards"},
    {"film.layer", "material", {}, false, "row of the material table"},
    {"film.layer", "thickness", Kind::length, true, ""},
    {"film.layer", "stress", Kind::stress, true, "equal-biaxial, tensile positive, at stress_temperature"},
    {"film.layer", "area", {}, false, "[[x, y], ...]: polygon that the layer covers; without it the whole film"},
    {"outline",
     "shape",
     {},
     false,
     "rectangle | disc | ring | polygon | strip: ends held, long sides free | hole-field: what [release] sets free "
     "round the holes"},
    {"outline", "width", Kind::length, true, "rectangle: along x; strip: along y"},
    {"outline", "height", Kind::length, true, "rectangle: along y"},
    {"outline", "corner_radius", Kind::length, false, "rectangle: default 0"},
    {"outline", "length", Kind::length, true, "strip: along x, between its clamped ends"},
    {"outline", "diameter", Kind::length, true, "disc"},
    {"outline", "outer_diameter", Kind::length, true, "ring"},
    {"outline", "inner_diameter", Kind::length, true, "ring: both rims are clamped"},
    {"outline", "vertices", Kind::length, false, "polygon: list of [x, y]"},
    {"holes", "lattice", {}, false, "square | triangular | honeycomb | list | file"},
    {"holes", "shape", {}, false, "circle | square | hexagon, sides along the lattice; default circle"},
    {"holes", "diameter", Kind::length, true, "circle, in the released film"},
    {"holes", "side", Kind::length, true, "square"},
    {"holes", "across_flats", Kind::length, true, "hexagon"},
    {"holes", "pitch", Kind::length, true, "between nearest hole centres"},
    {"holes", "angle", Kind::angle, false, "first lattice direction against x; default 0"},
    {"holes", "margin", Kind::length, false, "least solid width between holes and outline; default half a pitch"},
    {"holes", "field", Kind::length, false,
     "[x, y] extent of the hole field, hole edge to hole edge; centred on the origin; varied by its first side, the "
     "second follows"},
    {"holes", "centres", Kind::length, false, "lattice = \"list\": list of [x, y]"},
    {"holes", "omit", {}, false, "lattice sites left out: list of [i, j]; honeycomb: both holes of the cell"},
    {"holes",
     "file",
     {},
     false,
     "lattice = \"file\": .csv (x, y) or .gds beside the design; gives the size too unless that is given"},
    {"openings",
     "shape",
     {},
     false,
     "rectangle | circle | polygon: single openings beside the lattice, free edges; may cross the outline, which then "
     "is clamped where film is left"},
    {"openings", "width", Kind::length, false, "rectangle"},
    {"openings", "height", Kind::length, false, "rectangle"},
    {"openings", "corner_radius", Kind::length, false, "rectangle, rounded corners; default 0"},
    {"openings", "diameter", Kind::length, false, "circle"},
    {"openings", "vertices", Kind::length, false, "polygon: list of [x, y], from its centre"},
    {"openings", "centre", Kind::length, false, "[x, y]; default the origin"},
    {"openings", "angle", Kind::angle, false, "of the width (or of the polygon) against x; default 0"},
    {"release", "sacrificial", {}, false, "row of the material table"},
    {"release", "gap", Kind::length, false, "under the film; without [release] both faces are open"},
    {"release", "etchant", {}, false, "row of the material table; nothing is taken by default"},
    {"release", "rate", Kind::speed, true,
     "of the sacrificial layer in your own bath; overrides the etchant's row, which may then be missing"},
    {"release", "film_rate", Kind::speed, true, "the same of the film"},
    {"release", "undercut", Kind::length, true, "beyond the edge of the released hole; or time"},
    {"release", "time", Kind::time, true, "in the etchant, from its first contact with the sacrificial layer"},
    {"release", "slow_down", Kind::length, false,
     "undercut at half of which the front has half its pace; default: it keeps its pace"},
    {"release", "drying", {}, false, "row of the material table: what the chip is dried from"},
    {"process", "lithography_bias", Kind::length, true, "per edge, drawn to printed; positive: holes grow"},
    {"process", "etch_bias", Kind::length, true, "per edge, printed to etched; positive: holes grow"},
    {"process", "address_grid", Kind::length, false, "of the mask writer; drawn corners lie on it"},
    {"process", "least_feature", Kind::length, false, "narrowest figure or gap the writer prints"},
    {"chip", "width", Kind::length, false, ""},
    {"chip", "length", Kind::length, false, ""},
    {"chip", "thickness", Kind::length, false, "sets the plate end of the radiation band"},
    {"chip", "material", {}, false, "row of the material table; default silicon"},
    {"chip", "position", Kind::length, false, "[x, y] of the membrane's centre from the chip's"},
    {"chip", "edges", {}, false, "110 | 100: crystal direction of the edges, surface (100); default 110"},
    {"chip", "held", {}, false, "edges the mount clamps: list of left, right, lower, upper; default none"},
    {"surroundings", "gas", {}, false, "row of the material table"},
    {"surroundings", "pressure", Kind::pressure, true, ""},
    {"readout", "wavelength", Kind::length, false, ""},
    {"readout", "spot_radius", Kind::length, false, "where the intensity has fallen to 1/e^2"},
    {"readout", "position", Kind::length, false, "[x, y]; default the origin"},
    {"readout", "power", Kind::power, false, "on the film; plan judges heat and signal by it"},
    {"readout",
     "below",
     {},
     false,
     "what the light meets under the gap: row of the material table or none; default the chip's with a gap"},
    {"cavity", "length", Kind::length, false, "between the mirrors, which have no substrate between them"},
    {"cavity", "position", Kind::length, false,
     "middle (default), end (the film is the end mirror) or a length from the input mirror; the film then sits at the "
     "best place within half a wavelength"},
    {"cavity", "input_transmission", Kind::ratio, false, "of power, of the mirror that the light comes through"},
    {"cavity", "end_transmission", Kind::ratio, false, "of power; default 0"},
    {"cavity", "loss", Kind::ratio, false, "of power per round trip, mirrors without the film; default 0"},
    {"cavity", "input_radius", Kind::length, false, "of curvature of the input mirror; default flat or not known"},
    {"cavity", "end_radius", Kind::length, false, "of curvature of the end mirror"},
    {"cavity", "waist", Kind::length, false,
     "1/e^2 intensity radius at the film; default that of the mirrors' radii, else readout.spot_radius"},
    {"cavity", "detuning", Kind::frequency, false, "laser minus cavity, negative for cooling, or best (default)"},
    {"cavity", "power", Kind::power, false, "on the input mirror; default readout.power"},
    {"cavity", "finesse", Kind::ratio, false, "of the mirrors, in the place of transmissions and loss, split evenly"},
    {"limits", "least_ligament", Kind::length, false, ""},
    {"limits", "least_fracture_margin", Kind::ratio, false, "strength over largest stress"},
    {"limits", "least_collapse_margin", Kind::ratio, false, "critical over actual surface tension of release.drying"},
    {"limits", "least_qf", Kind::frequency, false, "of the lowest mode"},
    {"limits", "frequency", Kind::frequency, false, "[low, high] of the mode [target] names, else the lowest"},
    {"limits", "largest_release_time", Kind::time, false, ""},
    {"limits", "largest_film_loss", Kind::length, false, "mean over the suspended film, both faces together"},
    {"limits", "largest_over_etch", Kind::length, false,
     "undercut beyond the one that clears the last oxide between the holes"},
    {"limits", "least_reflectivity", Kind::ratio, false, "of the film at the readout wavelength"},
    {"target", "mode", {}, false, "label such as (1,1), or number by rising frequency; default the lowest"},
    {"target", "frequency", Kind::frequency, false, "for size and choose"},
    {"free", "KEY", {}, false, "\"section.key\" = [low, high] or a list of names: what size and choose may move"},
    {"solve", "model", {}, false, "averaged | resolved | auto; default auto"},
    {"solve", "modes", {}, false, "1 to 200; default 12"},
    {"solve", "accuracy", {}, false, "relative, on frequencies, 1e-6 to 0.1; default 1e-3"},
};

constexpr DesignKey derived_keys[] = {
    {"outline", "scale", Kind::ratio, false, "factor on all lengths of [outline]"},
    {"holes", "scale", Kind::ratio, false, "factor on all lengths of [holes]"},
    {"holes", "fill_factor", Kind::ratio, false, "hole area over cell area: sets the hole size at its pitch"},
};

std::string full_name(const DesignKey& key) {
    std::string name = key.section;
    return name.append(*key.section == '\0' ? "" : ".").append(key.name);
}

}  // namespace

std::span<const DesignKey> design_keys() {
    return keys;
}

const DesignKey* find_design_key(const std::string& section, const std::string& name) {
    for (const DesignKey& key : design_keys())
        if (section == key.section && name == key.name) return &key;
    return nullptr;
}

const DesignKey& changeable_key(const std::string& full) {
    std::vector<std::string> known;
    for (const std::span<const DesignKey> table : {std::span<const DesignKey>(derived_keys), design_keys()}) {
        for (const DesignKey& key : table) {
            if (*key.section == '\0' || *key.name == '\0') continue;
            if (full_name(key) == full) return key;
            known.push_back(full_name(key));
        }
    }
    throw InputError({}, full,
                     "is not a key of a design" + suggestion(full, known) +
                         "; `tymbal predict --keys` lists them, and outline.scale, holes.scale and "
                         "holes.fill_factor are derived from them");
}

bool is_derived_key(const std::string& full) {
    return std::any_of(std::begin(derived_keys), std::end(derived_keys),
                       [&](const DesignKey& key) { return full_name(key) == full; });
}

std::vector<std::string> design_key_names(const std::string& section) {
    std::vector<std::string> names;
    for (const DesignKey& key : design_keys())
        if (section == key.section) names.emplace_back(key.name);
    return names;
}

std::vector<std::string> design_sections() {
    std::vector<std::string> names;
    for (const DesignKey& key : design_keys())
        if (*key.section != '\0' && std::find(names.begin(), names.end(), key.section) == names.end())
            names.emplace_back(key.section);
    return names;
}

std::string describe_design_keys() {
    std::string text;
    std::string section = "-";
    for (const DesignKey& key : design_keys()) {
        if (section != key.section) {
            section = key.section;
            const bool list = section == "film.layer" || section == "openings";
            text +=
                section.empty() ? "(top of the file)\n" : (list ? "\n[[" : "\n[") + section + (list ? "]]\n" : "]\n");
        }
        std::string unit = key.kind ? accepted_units(*key.kind).front() : "";
        if (key.kind && *key.kind == Kind::ratio) unit = "number";
        if (key.uncertain) unit += " +-";
        const std::string line = left(std::string("  ") + key.name, 24) + left(unit, 14) + wrapped(key.meaning, 38, 38);
        text += line.substr(0, line.find_last_not_of(' ') + 1) + "\n";
    }
    return text;
}

}  // namespace tymbal
