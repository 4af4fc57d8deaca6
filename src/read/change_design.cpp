#include "change_design.h"

#include "../text/csv.h"
#include "../text/toml_table.h"

#include "tymbal/base/error.h"
#include "tymbal/film/unit_cell.h"
#include "tymbal/read/design_keys.h"

#include <cmath>

namespace tymbal {

namespace {

/// The table of a section, made when the design has none; the reader will then say what else it needs.
toml::value& section_of(toml::value& root, const std::string& name) {
    if (!root.contains(name)) root[name] = toml::table{};
    return root[name];
}

/// The table that a key stands in: of a list the one of its number, which may be the next to come.
toml::value& table_of(toml::value& root, const KeyPath& path, const std::string& full) {
    if (path.section.empty()) return root;
    if (path.number == 0) return section_of(root, path.section);
    const std::size_t dot = path.section.find('.');  // film.layer lies in film
    toml::value& outer = dot == std::string::npos ? root : section_of(root, path.section.substr(0, dot));
    const std::string name = dot == std::string::npos ? path.section : path.section.substr(dot + 1);
    if (!outer.contains(name)) outer[name] = toml::array{};
    toml::value& list = outer[name];
    if (!list.is_array() || path.number > list.as_array().size() + 1)
        throw InputError({}, full,
                         std::string("there are ")
                             .append(std::to_string(list.is_array() ? list.as_array().size() : 0))
                             .append(" of [[")
                             .append(path.section)
                             .append("]]; name one of them, or the next to add it"));
    if (path.number > list.as_array().size()) list.as_array().emplace_back(toml::table{});
    return list.as_array()[path.number - 1];
}

/// The written quantity, or nothing where the reader will find fault with it anyway.
std::optional<ParsedQuantity> written(const toml::value& section, const std::string& key, Kind kind) {
    if (!section.is_table() || !section.contains(key)) return std::nullopt;
    const toml::value& value = section.at(key);
    if (const auto put = quantity_put(value)) return put;
    if (kind == Kind::ratio && value.is_floating()) return ParsedQuantity{value.as_floating(), 0.0, false};
    if (!value.is_string()) return std::nullopt;
    try {
        return parse_quantity(value.as_string().str, kind);
    } catch (const UnitError&) {
        return std::nullopt;
    }
}

void set_number(toml::value& section, const std::string& key, std::optional<Kind> kind, double si,
                const std::optional<double>& deviation = std::nullopt) {
    if (!kind) {  // the bare numbers of [solve]
        section[key] =
            si == std::floor(si) && std::abs(si) < 1e15 ? toml::value(static_cast<std::int64_t>(si)) : toml::value(si);
        return;
    }
    const std::optional<ParsedQuantity> before = written(section, key, *kind);
    section[key] = put_quantity(si, deviation.value_or(before ? before->deviation : 0.0), *kind);
}

toml::value length_text(double metres) {
    return put_quantity(metres, 0.0, Kind::length);
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

/// A number among others: a quantity of the key's kind, or one of a lattice's sites.
toml::value element(double number, const DesignKey& key, const std::string& full) {
    if (key.kind) return put_quantity(number, 0.0, *key.kind);
    constexpr double farthest = 1e9;  // the reader has its own, nearer bounds
    if (number != std::floor(number) || std::abs(number) > farthest)
        throw InputError({}, full,
                         std::string("has ")
                             .append(shortest(number))
                             .append(" in its list; accepted: whole numbers or names, as the key takes"));
    return static_cast<std::int64_t>(number);
}

toml::value list_of(const std::array<double, 2>& pair, const DesignKey& key, const std::string& full) {
    return toml::array{element(pair[0], key, full), element(pair[1], key, full)};
}

toml::value list_of(const std::vector<Point>& points, const DesignKey& key, const std::string& full) {
    toml::array list;
    for (const Point p : points) list.push_back(list_of({p.x, p.y}, key, full));
    return list;
}

/// A value without the place that it was read from, which is in no file.
toml::value without_place(const toml::value& value) {
    if (value.is_string()) return value.as_string().str;
    if (value.is_integer()) return value.as_integer();
    if (value.is_floating()) return value.as_floating();
    if (value.is_boolean()) return value.as_boolean();
    if (!value.is_array()) return value;
    toml::array list;
    for (const toml::value& one : value.as_array()) list.push_back(without_place(one));
    return list;
}

toml::value list_in(const std::string& text, const std::string& full) {
    try {
        const toml::value root = parse_toml("list = " + text, "");
        if (root.as_table().size() == 1 && root.at("list").is_array()) return without_place(root.at("list"));
    } catch (const InputError&) {  // said below, as no file is at fault
    }
    throw InputError({}, full, "is no list as a design file has it; accepted: texts, numbers and lists in [ ]");
}

/// The value of a list; nothing for single values.
std::optional<toml::value> list_of(const Change& change, const DesignKey& key) {
    if (const auto* pair = std::get_if<std::array<double, 2>>(&change.value)) return list_of(*pair, key, change.key);
    if (const auto* points = std::get_if<std::vector<Point>>(&change.value)) return list_of(*points, key, change.key);
    if (!is_list_text(change)) return std::nullopt;
    return list_in(std::get<std::string>(change.value), change.key);
}

/// A number that came as a quantity must be one of the key's.
void require_dimension(const Change& change, const DesignKey& key) {
    if (!change.value.dimension || (key.kind && dimension_of(*key.kind) == *change.value.dimension)) return;
    throw InputError({}, change.key,
                     key.kind ? "is given a quantity of another kind; accepted: a " + to_string(*key.kind)
                              : "is given a quantity, and takes a name or plain number");
}

void set_plain(toml::value& root, const std::string& path, const Change& change) {
    const KeyPath name = key_path(change.key);
    const DesignKey& key = changeable_key(change.key);
    require_dimension(change, key);
    toml::value& section = table_of(root, name, change.key);
    if (!section.is_table()) return;  // the reader says so
    const double* si = std::get_if<double>(&change.value);
    if (si != nullptr && change.key == "holes.field") {
        if (change.value.deviation)
            throw InputError({}, change.key,
                             "takes no deviation; accepted: its first side, or both as std::array<double, 2>");
        return set_field(section, path, *si);
    }
    if (const auto list = list_of(change, key)) {
        section[name.key] = *list;
        return;
    }
    if (section.contains(name.key) && section.at(name.key).is_array())
        TomlTable(path, name.place(), section).refuse(name.key, "is a list where one value is wanted");
    if (si != nullptr)
        set_number(section, name.key, key.kind, *si, change.value.deviation);
    else
        section[name.key] = toml::value(std::get<std::string>(change.value));
}

void scale_length(toml::value& section, const std::string& key, double factor) {
    if (const auto before = written(section, key, Kind::length))
        section[key] = put_quantity(factor * before->value, before->deviation, Kind::length);
}

/// A list of [x, y] pairs, or one such pair.
void scale_list(toml::value& value, double factor) {
    if (value.is_array()) {
        for (toml::value& element : value.as_array()) scale_list(element, factor);
        return;
    }
    try {
        if (const auto put = quantity_put(value))
            value = put_quantity(factor * put->value, 0.0, Kind::length);
        else if (value.is_string())
            value = put_quantity(factor * parse_quantity(value.as_string().str, Kind::length).value, 0.0, Kind::length);
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
    const KeyPath name = key_path(change.key);
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

bool is_list_text(const Change& change) {
    const auto* text = std::get_if<std::string>(&change.value);
    return text != nullptr && text->rfind('[', 0) == 0 && *changeable_key(change.key).example == '[';
}

void apply_changes(toml::value& root, const std::string& path, const Changes& changes) {
    for (const Change& change : changes)
        if (!is_derived_key(change.key)) set_plain(root, path, change);
    for (const Change& change : changes)
        if (change.key == "holes.fill_factor") set_derived(root, change);
    for (const Change& change : changes)
        if (is_derived_key(change.key) && change.key != "holes.fill_factor") set_derived(root, change);
}

}  // namespace tymbal
