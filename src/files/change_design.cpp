#include "change_design.h"

#include "csv.h"
#include "toml_table.h"

#include "tymbal/base/error.h"
#include "tymbal/files/design_keys.h"
#include "tymbal/film/unit_cell.h"

#include <cmath>

namespace tymbal {

namespace {

struct Name {
    std::string section, key;
};

Name split(const std::string& full) {
    const std::size_t dot = full.find('.');
    return {full.substr(0, dot), full.substr(dot + 1)};
}

/// The table of a section, made when the file has none; the reader will then say what else it needs.
toml::value& section_of(toml::value& root, const std::string& name) {
    if (!root.contains(name)) root[name] = toml::table{};
    return root[name];
}

/// The written quantity, or nothing where the reader will find fault with it anyway.
std::optional<ParsedQuantity> written(const toml::value& section, const std::string& key, Kind kind) {
    if (!section.is_table() || !section.contains(key)) return std::nullopt;
    const toml::value& value = section.at(key);
    if (kind == Kind::ratio && value.is_floating()) return ParsedQuantity{value.as_floating(), 0.0, false};
    if (!value.is_string()) return std::nullopt;
    try {
        return parse_quantity(value.as_string().str, kind);
    } catch (const UnitError&) {
        return std::nullopt;
    }
}

toml::value quantity(double si, double deviation, Kind kind) {
    std::string text = shortest(si);
    if (deviation > 0.0) text.append(" +- ").append(shortest(deviation));
    return toml::value(text.append(" ").append(si_unit(kind)));
}

void set_number(toml::value& section, const std::string& key, std::optional<Kind> kind, double si) {
    if (!kind) {  // the bare numbers of [solve]
        section[key] =
            si == std::floor(si) && std::abs(si) < 1e15 ? toml::value(static_cast<std::int64_t>(si)) : toml::value(si);
        return;
    }
    const std::optional<ParsedQuantity> before = written(section, key, *kind);
    section[key] = quantity(si, before ? before->deviation : 0.0, *kind);
}

toml::value length_text(double metres) {
    return quantity(metres, 0.0, Kind::length);
}

/// holes.field by its first side: the second keeps its proportion, and is as long where the file gives none.
void set_field(toml::value& holes, const std::string& path, double width) {
    double ratio = 1.0;
    if (holes.contains("field")) {
        const auto sides = TomlTable(path, "holes", holes).quantities("field", Kind::length, 2);
        if (sides[0] > 0.0) ratio = sides[1] / sides[0];
    }
    holes["field"] = toml::array{length_text(width), length_text(width * ratio)};
}

toml::value list_of(const std::array<double, 2>& pair) {
    return toml::array{length_text(pair[0]), length_text(pair[1])};
}

toml::value list_of(const std::vector<Point>& points) {
    toml::array list;
    for (const Point p : points) list.push_back(list_of(std::array<double, 2>{p.x, p.y}));
    return list;
}

void set_plain(toml::value& root, const std::string& path, const Change& change) {
    const Name name = split(change.key);
    const DesignKey& key = changeable_key(change.key);
    toml::value& section = section_of(root, name.section);
    if (!section.is_table()) return;  // the reader says so
    const double* si = std::get_if<double>(&change.value);
    if (si != nullptr && change.key == "holes.field") return set_field(section, path, *si);
    if (const auto* pair = std::get_if<std::array<double, 2>>(&change.value)) {
        section[name.key] = list_of(*pair);
        return;
    }
    if (const auto* points = std::get_if<std::vector<Point>>(&change.value)) {
        section[name.key] = list_of(*points);
        return;
    }
    if (section.contains(name.key) && section.at(name.key).is_array())
        TomlTable(path, name.section, section).refuse(name.key, "is a list where one value is wanted");
    if (si != nullptr)
        set_number(section, name.key, key.kind, *si);
    else
        section[name.key] = toml::value(std::get<std::string>(change.value));
}

void scale_length(toml::value& section, const std::string& key, double factor) {
    if (const auto before = written(section, key, Kind::length))
        section[key] = quantity(factor * before->value, before->deviation, Kind::length);
}

/// A list of [x, y] pairs, or one such pair.
void scale_list(toml::value& value, double factor) {
    if (value.is_array()) {
        for (toml::value& element : value.as_array()) scale_list(element, factor);
        return;
    }
    try {
        if (value.is_string())
            value = quantity(factor * parse_quantity(value.as_string().str, Kind::length).value, 0.0, Kind::length);
    } catch (const UnitError&) {
        return;  // the reader says so
    }
}

void scale_outline(toml::value& outline, double factor) {
    for (const char* key :
         {"length", "width", "height", "corner_radius", "diameter", "outer_diameter", "inner_diameter"})
        scale_length(outline, key, factor);
    if (outline.contains("vertices")) scale_list(outline["vertices"], factor);
}

void scale_holes(toml::value& holes, double factor) {
    for (const char* key : {"diameter", "side", "across_flats", "pitch", "margin"}) scale_length(holes, key, factor);
    for (const char* key : {"field", "centres"})
        if (holes.contains(key)) scale_list(holes[key], factor);
}

std::string word_or(const toml::value& section, const std::string& key, const std::string& otherwise) {
    return section.contains(key) && section.at(key).is_string() ? section.at(key).as_string().str : otherwise;
}

/// The hole size that opens this share of the lattice's cell at the pitch as it is.
void set_fill_factor(toml::value& holes, double share) {
    const auto pitch = written(holes, "pitch", Kind::length);
    const std::string word = word_or(holes, "lattice", "");
    const Lattice lattice = word == "triangular"  ? Lattice::triangular
                            : word == "honeycomb" ? Lattice::honeycomb
                                                  : Lattice::square;
    if (!pitch || word == "list") throw InputError({}, "holes.fill_factor", "needs a lattice of holes with a pitch");
    if (!(share > 0.0 && share < 1.0)) throw InputError({}, "holes.fill_factor", "must lie between 0 and 1");
    const std::string figure = word_or(holes, "shape", "circle");
    const HoleShape shape = figure == "square"    ? HoleShape::square
                            : figure == "hexagon" ? HoleShape::hexagon
                                                  : HoleShape::circle;
    const char* size = shape == HoleShape::square ? "side" : shape == HoleShape::hexagon ? "across_flats" : "diameter";
    const double width = pitch->value * std::sqrt(share * cell_area(lattice) / hole_area(shape, 1.0));
    set_number(holes, size, Kind::length, width);
}

void set_derived(toml::value& root, const Change& change) {
    const Name name = split(change.key);
    const double* value = std::get_if<double>(&change.value);
    if (value == nullptr) throw InputError({}, change.key, "takes numbers");
    toml::value& section = section_of(root, name.section);
    if (!section.is_table()) return;  // the reader says so
    if (name.key != "fill_factor" && !(*value > 0.0)) throw InputError({}, change.key, "must be above zero");
    if (change.key == "holes.fill_factor")
        set_fill_factor(section, *value);
    else if (change.key == "holes.scale")
        scale_holes(section, *value);
    else
        scale_outline(section, *value);
}

}  // namespace

void apply_changes(toml::value& root, const std::string& path, const Changes& changes) {
    for (const Change& change : changes)
        if (!is_derived_key(change.key)) set_plain(root, path, change);
    for (const Change& change : changes)
        if (change.key == "holes.fill_factor") set_derived(root, change);
    for (const Change& change : changes)
        if (is_derived_key(change.key) && change.key != "holes.fill_factor") set_derived(root, change);
}

}  // namespace tymbal
