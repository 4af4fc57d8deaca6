#include "tymbal/read/design_keys.h"

#include "../text/figures.h"

#include "tymbal/base/error.h"
#include "tymbal/base/nearest.h"

#include <algorithm>

namespace tymbal {

namespace {

constexpr std::nullopt_t names = std::nullopt;  // a name, a text or a list: no unit

constexpr DesignKey keys[] = {
    {"", "title", names, false, "free text", "none", "Tide-gauge drum, run 3"},
    {"film", "material", names, false, "row of the material table, see `tymbal materials`", "required",
     "nitride-stoichiometric"},
    {"film", "thickness", Kind::length, true, "as deposited", "required", "100 +- 2 nm"},
    {"film", "stress", Kind::stress, true, "as deposited, equal-biaxial, tensile positive", "the row's",
     "1.00 +- 0.03 GPa"},
    {"film", "stress_temperature", Kind::temperature, false, "temperature the stress is stated for", "295 K", "295 K"},
    {"film", "temperature", Kind::temperature, false, "of the device and the gas", "295 K", "77 K"},
    {"film", "youngs_modulus", Kind::stress, true, "overrides the row, like all below", "the row's", "250 +- 20 GPa"},
    {"film", "poisson_ratio", Kind::ratio, true, "-1 to 0.5", "the row's", "0.25 +- 0.03"},
    {"film", "density", Kind::density, true, "of the film", "the row's", "3100 +- 60 kg/m^3"},
    {"film", "thermal_expansion", Kind::thermal_expansion, true, "linear", "the row's", "2.3 +- 0.7 ppm/K"},
    {"film", "thermal_conductivity", Kind::thermal_conductivity, true, "sets how far light heats the film", "the row's",
     "2.7 +- 0.5 W/(m K)"},
    {"film", "heat_capacity", Kind::heat_capacity, true, "enters thermoelastic loss", "the row's",
     "700 +- 70 J/(kg K)"},
    {"film", "strength", Kind::stress, true, "fracture stress, against which the largest stress is held", "the row's",
     "6.4 +- 1.0 GPa"},
    {"film", "quality_volume", Kind::ratio, true, "intrinsic Q of the film's bulk", "the row's", "28000 +- 2000"},
    {"film", "quality_surface", Kind::inverse_length, true, "intrinsic Q of its surfaces per thickness", "the row's",
     "6e10 +- 4e10 1/m"},
    {"film", "extinction", Kind::ratio, true, "imaginary part of the index", "the row's, else 0", "1e-6 +- 1e-6"},
    {"film", "index", Kind::ratio, true, "refractive index at the readout wavelength", "the row's", "2.00 +- 0.03"},
    {"film", "layer", names, false, "[[film.layer]]: layers on the film, from below upwards", "none", "[[film.layer]]"},
    {"film.layer", "material", names, false, "row of the material table", "required", "aluminium"},
    {"film.layer", "thickness", Kind::length, true, "of this layer", "required", "20 +- 1 nm"},
    {"film.layer", "stress", Kind::stress, true, "equal-biaxial, tensile positive, at stress_temperature", "the row's",
     "100 +- 30 MPa"},
    {"film.layer", "area", Kind::length, false,
     "[[x, y], ...]: polygon that the layer covers; without it the whole film", "the whole film",
     "[[\"-20 um\", \"-20 um\"], [\"20 um\", \"-20 um\"], [\"0 um\", \"20 um\"]]"},
    {"outline", "shape", names, false,
     "rectangle | disc | ring | polygon | strip (ends held, sides free) | hole-field (what [release] sets free)",
     "required", "rectangle"},
    {"outline", "width", Kind::length, true, "rectangle: along x; strip: along y", "required", "120.0 +- 0.3 um"},
    {"outline", "height", Kind::length, true, "rectangle: along y", "required", "120.0 +- 0.3 um"},
    {"outline", "corner_radius", Kind::length, false, "rectangle: of rounded corners", "0", "5 um"},
    {"outline", "length", Kind::length, true, "strip: along x, between its clamped ends", "required", "400 um"},
    {"outline", "diameter", Kind::length, true, "disc", "required", "300.0 +- 0.5 um"},
    {"outline", "outer_diameter", Kind::length, true, "ring", "required", "300 um"},
    {"outline", "inner_diameter", Kind::length, true, "ring: both rims are clamped", "required", "100 um"},
    {"outline", "vertices", Kind::length, false, "polygon: list of [x, y]", "required",
     "[[\"0 um\", \"0 um\"], [\"200 um\", \"0 um\"], [\"0 um\", \"200 um\"]]"},
    {"holes", "lattice", names, false, "square | triangular | honeycomb | list | file", "required", "triangular"},
    {"holes", "shape", names, false, "circle | square | hexagon, sides along the lattice", "circle", "square"},
    {"holes", "diameter", Kind::length, true, "circle, in the released film", "required for circles",
     "2.00 +- 0.05 um"},
    {"holes", "side", Kind::length, true, "square", "required for squares", "2 um"},
    {"holes", "across_flats", Kind::length, true, "hexagon", "required for hexagons", "2 um"},
    {"holes", "pitch", Kind::length, true, "between nearest hole centres", "required", "5 um"},
    {"holes", "angle", Kind::angle, false, "first lattice direction against x", "0", "30 deg"},
    {"holes", "margin", Kind::length, false, "least solid width between holes and outline", "half a pitch", "4 um"},
    {"holes", "field", Kind::length, false,
     "[x, y] from outermost hole edge to hole edge, round the origin; varied by its first side",
     "as the outline allows", "[\"112 um\", \"110 um\"]"},
    {"holes", "centres", Kind::length, false, "lattice = \"list\": list of [x, y]", "required for a list",
     "[[\"0 um\", \"0 um\"], [\"80 um\", \"80 um\"]]"},
    {"holes", "omit", names, false, "lattice sites left out: list of [i, j]; honeycomb: both holes of the cell", "none",
     "[[0, 0], [1, 0]]"},
    {"holes", "file", names, false,
     "lattice = \"file\": .csv or .gds beside the design; gives the hole size too unless that is given", "required",
     "holes.csv"},
    {"openings", "shape", names, false,
     "rectangle | circle | polygon; free edges, may cross the outline, clamped where film is left", "required",
     "rectangle"},
    {"openings", "width", Kind::length, false, "rectangle", "required", "60 um"},
    {"openings", "height", Kind::length, false, "rectangle", "required", "8 um"},
    {"openings", "corner_radius", Kind::length, false, "rectangle: of rounded corners", "0", "2 um"},
    {"openings", "diameter", Kind::length, false, "circle", "required", "30 um"},
    {"openings", "vertices", Kind::length, false, "polygon: list of [x, y], from its centre", "required",
     "[[\"0 um\", \"0 um\"], [\"20 um\", \"0 um\"], [\"0 um\", \"20 um\"]]"},
    {"openings", "centre", Kind::length, false, "[x, y]", "the origin", "[\"0 um\", \"30 um\"]"},
    {"openings", "angle", Kind::angle, false, "of the width (or of the polygon) against x", "0", "45 deg"},
    {"release", "sacrificial", names, false, "row of the material table", "required with an etchant", "oxide-thermal"},
    {"release", "gap", Kind::length, false, "under the film; without [release] both faces are open", "required",
     "2 um"},
    {"release", "etchant", names, false, "row of the material table; nothing is assumed", "none", "buffered-hf-5to1"},
    {"release", "rate", Kind::speed, true,
     "of the sacrificial layer in your own bath; overrides the row, which may then be missing", "the etchant's row",
     "100 +- 8 nm/min"},
    {"release", "film_rate", Kind::speed, true, "the same of the film", "the etchant's row", "0.9 +- 0.2 nm/min"},
    {"release", "undercut", Kind::length, true, "beyond the edge of the released hole; or time", "none",
     "2.2 +- 0.1 um"},
    {"release", "time", Kind::time, true, "in the etchant, from its first contact with the sacrificial layer", "none",
     "22 min"},
    {"release", "slow_down", Kind::length, false, "undercut at half of which the front has half its pace",
     "keeps its pace", "100 um"},
    {"release", "drying", names, false, "row of the material table: what the chip is dried from", "none",
     "critical-point"},
    {"process", "lithography_bias", Kind::length, true, "per edge, drawn to printed; positive: holes grow", "0",
     "0.10 +- 0.05 um"},
    {"process", "etch_bias", Kind::length, true, "per edge, printed to etched; positive: holes grow", "0", "0.05 um"},
    {"process", "address_grid", Kind::length, false, "of the mask writer; drawn corners lie on it", "1 nm", "0.05 um"},
    {"process", "least_feature", Kind::length, false, "narrowest figure or gap the writer prints", "none", "0.8 um"},
    {"chip", "width", Kind::length, false, "along x", "none", "10 mm"},
    {"chip", "length", Kind::length, false, "along y", "none", "10 mm"},
    {"chip", "thickness", Kind::length, false, "sets the plate end of the radiation band", "required", "525 um"},
    {"chip", "material", names, false, "row of the material table", "silicon", "silicon"},
    {"chip", "position", Kind::length, false, "[x, y] of the membrane's centre from the chip's", "the centre",
     "[\"0 mm\", \"0 mm\"]"},
    {"chip", "edges", names, false, "110 | 100: crystal direction of the edges, surface (100)", "110", "100"},
    {"chip", "held", names, false, "edges the mount clamps: list of left, right, lower, upper", "none",
     "[\"left\", \"right\"]"},
    {"surroundings", "gas", names, false, "row of the material table", "required", "nitrogen"},
    {"surroundings", "pressure", Kind::pressure, true, "of the gas at the membrane", "required", "1e-6 mbar"},
    {"readout", "wavelength", Kind::length, false, "of the light, in vacuum", "required", "1064 nm"},
    {"readout", "spot_radius", Kind::length, false, "where the intensity has fallen to 1/e^2", "required", "10 um"},
    {"readout", "position", Kind::length, false, "[x, y] of the spot", "the origin", "[\"10 um\", \"0 um\"]"},
    {"readout", "power", Kind::power, false, "on the film; plan judges heat and signal by it", "none", "100 uW"},
    {"readout", "below", names, false, "what the light meets under the gap: row of the material table or none",
     "the chip's with a gap, else none", "silicon"},
    {"cavity", "length", Kind::length, false, "between the mirrors, which have no substrate between them", "required",
     "10 mm"},
    {"cavity", "position", Kind::length, false,
     "middle, end (the film is the end mirror) or a length from the input mirror; the film then sits at the best place "
     "within half a wavelength",
     "middle", "4 mm"},
    {"cavity", "input_transmission", Kind::ratio, false, "of power, of the mirror that the light comes through",
     "required; or finesse", "100e-6"},
    {"cavity", "end_transmission", Kind::ratio, false, "of power", "0", "10e-6"},
    {"cavity", "loss", Kind::ratio, false, "of power per round trip, mirrors without the film", "0", "20e-6"},
    {"cavity", "input_radius", Kind::length, false, "of curvature of the input mirror", "flat or not known", "25 mm"},
    {"cavity", "end_radius", Kind::length, false, "of curvature of the end mirror", "flat or not known", "25 mm"},
    {"cavity", "waist", Kind::length, false, "1/e^2 intensity radius at the film",
     "that of the mirrors' radii, else readout.spot_radius", "50 um"},
    {"cavity", "detuning", Kind::frequency, false, "laser minus cavity, negative for cooling, or best", "best",
     "-400 kHz"},
    {"cavity", "power", Kind::power, false, "on the input mirror", "readout.power", "10 uW"},
    {"cavity", "finesse", Kind::ratio, false, "of the mirrors, in the place of transmissions and loss, split evenly",
     "none", "20000"},
    {"limits", "least_ligament", Kind::length, false, "narrowest film between two holes", "none", "1 um"},
    {"limits", "least_fracture_margin", Kind::ratio, false, "strength over largest stress", "none", "2.0"},
    {"limits", "least_collapse_margin", Kind::ratio, false, "critical over actual surface tension of release.drying",
     "none", "1.5"},
    {"limits", "least_qf", Kind::frequency, false, "of the lowest mode", "none", "1e11 Hz"},
    {"limits", "frequency", Kind::frequency, false, "[low, high] of the mode [target] names, else the lowest", "none",
     "[\"2.88 MHz\", \"3.12 MHz\"]"},
    {"limits", "largest_release_time", Kind::time, false, "in the etchant", "none", "30 min"},
    {"limits", "largest_film_loss", Kind::length, false, "mean over the suspended film, both faces together", "none",
     "20 nm"},
    {"limits", "largest_over_etch", Kind::length, false,
     "undercut beyond the one that clears the last oxide between the holes", "none", "1 um"},
    {"limits", "least_reflectivity", Kind::ratio, false, "of the film at the readout wavelength", "none", "0.2"},
    {"limits", "least_chance_to_reflect", Kind::ratio, false,
     "that films within the stated deviations reflect limits.least_reflectivity", "none", "0.8"},
    {"limits", "least_g0", Kind::frequency, false,
     "single-photon coupling over 2 pi of the target's mode; needs [cavity]", "none", "10 Hz"},
    {"limits", "least_cooperativity", Kind::ratio, false,
     "single-photon cooperativity of the target's mode; needs [cavity]", "none", "1"},
    {"target", "mode", names, false, "label such as (1,1), or number by rising frequency", "the lowest", "(1,1)"},
    {"target", "frequency", Kind::frequency, false, "for size and choose", "none", "3.0 MHz"},
    {"target", "aim", names, false,
     "qf | g0 | cooperativity: what choose makes as large as it can, of the target's mode; the latter two need "
     "[cavity]",
     "qf", "g0"},
    {"free", "KEY", names, false, "\"section.key\" = [low, high] or a list of names: what size and choose may move",
     "none", "[\"1 um\", \"4 um\"]"},
    {"solve", "model", names, false, "averaged | resolved | auto", "auto", "resolved"},
    {"solve", "light", names, false,
     "auto | averaged; averaged: light sees an index averaged over the holes, for comparison", "auto", "averaged"},
    {"solve", "modes", names, false, "1 to 200", "12", "6"},
    {"solve", "accuracy", names, false, "relative, on frequencies, 1e-6 to 0.1", "1e-3", "1e-4"},
};
constexpr DesignKey derived_keys[] = {
    {"outline", "scale", Kind::ratio, false, "factor on all lengths of [outline]", "", "1.2"},
    {"holes", "scale", Kind::ratio, false, "factor on all lengths of [holes]", "", "0.8"},
    {"holes", "fill_factor", Kind::ratio, false, "hole area over cell area: sets the hole size at its pitch", "",
     "0.2"},
};

std::string full_name(const DesignKey& key) {
    std::string name = key.section;
    return name.append(*key.section == '\0' ? "" : ".").append(key.name);
}

std::string heading_of(const std::string& section) {
    const bool list = is_list_section(section);
    std::string text = list ? "[[" : "[";
    return text.append(section).append(list ? "]]" : "]");
}

std::string unit_of(const DesignKey& key) {
    if (!key.kind) return "";
    const std::string unit = *key.kind == Kind::ratio ? "number" : accepted_units(*key.kind).front();
    return key.uncertain ? unit + " +-" : unit;
}

/// "; default 295 K" where leaving the key out means a value.
std::string default_of(const DesignKey& key) {
    const std::string value = key.fallback;
    if (value.empty() || value == "none" || value.rfind("required", 0) == 0) return "";
    return std::string("; default ").append(value);
}

constexpr const char* markdown_head = "| key | unit | meaning | default | example |\n| --- | --- | --- | --- | --- |\n";

/// Bars inside a cell do not end it.
std::string cell(const std::string& text) {
    std::string out = " ";
    for (const char c : text) out.append(c == '|' ? "\\|" : std::string(1, c));
    return out.append(" |");
}

/// As the file holds it: numbers and lists bare, all else in quotes.
std::string written_example(const DesignKey& key) {
    const std::string text = key.example;
    const bool plain_ratio = key.kind == Kind::ratio && text.find("+-") == std::string::npos;
    const bool number = plain_ratio || (key.section == std::string("solve") && text.front() < 'A');
    return number || text.front() == '[' ? text : std::string("\"").append(text).append("\"");
}

std::string markdown_row(const DesignKey& key) {
    std::string row = "|";
    for (const std::string& text :
         {std::string("`").append(full_name(key)).append("`"), unit_of(key), std::string(key.meaning),
          std::string(key.fallback), std::string("`").append(written_example(key)).append("`")})
        row += cell(text);
    return row.append("\n");
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

bool is_list_section(const std::string& section) {
    return section == "film.layer" || section == "openings";
}

std::string KeyPath::place() const {
    return number == 0 ? section : std::string(section).append(".").append(std::to_string(number));
}

KeyPath key_path(const std::string& full) {
    const std::size_t last = full.rfind('.');
    if (last == std::string::npos) return {"", 0, full};
    KeyPath path{full.substr(0, last), 0, full.substr(last + 1)};
    if (is_list_section(path.section))
        throw InputError({}, full,
                         std::string("names one of several: count them from 1, as in '")
                             .append(path.section)
                             .append(".1.")
                             .append(path.key)
                             .append("'"));
    const std::size_t dot = path.section.rfind('.');
    const std::string digits = dot == std::string::npos ? "" : path.section.substr(dot + 1);
    const bool number = !digits.empty() && digits.size() < 6 && digits.front() != '0' &&
                        digits.find_first_not_of("0123456789") == std::string::npos;
    if (!number || !is_list_section(path.section.substr(0, dot))) return path;
    path.number = std::stoul(digits);
    path.section.resize(dot);
    return path;
}

const DesignKey& changeable_key(const std::string& full) {
    const KeyPath path = key_path(full);
    const std::string plain_name = path.section.empty() ? path.key : path.section + "." + path.key;
    std::vector<std::string> known;
    for (const std::span<const DesignKey> table : {std::span<const DesignKey>(derived_keys), design_keys()}) {
        for (const DesignKey& key : table) {
            if (*key.name == '\0') continue;
            if (full_name(key) == plain_name && is_list_section(key.section) == (path.number > 0)) return key;
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
    std::vector<std::string> all;
    for (const DesignKey& key : design_keys())
        if (section == key.section) all.emplace_back(key.name);
    return all;
}

std::vector<std::string> design_sections() {
    std::vector<std::string> all;
    for (const DesignKey& key : design_keys())
        if (*key.section != '\0' && std::find(all.begin(), all.end(), key.section) == all.end())
            all.emplace_back(key.section);
    return all;
}

std::string describe_design_keys() {
    std::string text;
    std::string section = "-";
    for (const DesignKey& key : design_keys()) {
        if (section != key.section) {
            section = key.section;
            text.append(section.empty() ? "(top of the file)" : "\n")
                .append(section.empty() ? "" : heading_of(section))
                .append("\n");
        }
        const std::string line = left(std::string("  ") + key.name, 24) + left(unit_of(key), 14) +
                                 wrapped(key.meaning + default_of(key), 38, 38);
        text += line.substr(0, line.find_last_not_of(' ') + 1) + "\n";
    }
    return text;
}

std::string design_keys_in_markdown() {
    std::string text;
    std::string section = "-";
    for (const DesignKey& key : design_keys()) {
        if (section != key.section) {
            section = key.section;
            text.append("\n### ")
                .append(section.empty() ? "Top of the file" : heading_of(section))
                .append("\n\n")
                .append(markdown_head);
        }
        text += markdown_row(key);
    }
    text.append("\n### Derived keys\n\n").append(markdown_head);
    for (const DesignKey& key : derived_keys) text += markdown_row(key);
    return text.substr(1);
}

}  // namespace tymbal
