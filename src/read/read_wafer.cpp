#include "tymbal/read/read_wafer.h"

#include "../base/sha256.h"
#include "../text/toml_table.h"
#include "design_table.h"

#include "tymbal/base/nearest.h"

#include <algorithm>
#include <map>

namespace tymbal {

namespace {

using Names = std::vector<std::string>;

const char* const key_text =
    "title                      free text\n"
    "\n"
    "[film]\n"
    "  material                 row of the material table\n"
    "  thickness        nm +-   on the front, where the devices will be\n"
    "  back_thickness   nm +-   on the back, where there is one; default: front\n"
    "  index            number +-\n"
    "  index_wavelength nm      that indices are for; needed with any index\n"
    "\n"
    "[wafer]\n"
    "  material                 row of the material table; default silicon\n"
    "  surface                  100 | 111; default 100\n"
    "  thickness        um +-\n"
    "\n"
    "[shape]                    one kind of pair; positive: the front is hollow, as a\n"
    "                           tensile film on it makes it\n"
    "  bow_before, bow_after    um +-, middle against the ends of a scan\n"
    "  scan             mm +-   its length, with bow\n"
    "  radius_before, _after    m +-, or \"flat\"\n"
    "  curvature_before, _after 1/m +-\n"
    "  films_before             none | front | back | both: faces with film when the\n"
    "  films_after              first and the second shape were taken\n"
    "\n"
    "[[layer]]                  other layers that came or went between the two shapes\n"
    "  name, thickness +-, stress +-, films_before, films_after\n"
    "\n"
    "[[die]]                    the thickness map\n"
    "  name, at = [x, y], thickness +-, index +-, stress +- (where found locally)\n";

void require_known(const TomlTable& table, const Names& known) {
    for (const std::string& key : table.keys())
        if (std::find(known.begin(), known.end(), key) == known.end())
            table.refuse(key, "is not a key here" + suggestion(key, known));
}

template <class Q>
Sourced<Q> value(const TomlTable& table, const std::string& key, Kind kind, const Range& range) {
    const ParsedQuantity parsed = table.quantity(key, kind);
    if (!(parsed.value >= range.low && parsed.value <= range.high))
        table.refuse(key, "is '" + table.written(key) + "', out of range; accepted: " + range.words);
    return {Q::from_si(parsed.value), Q::from_si(parsed.deviation), {"the wafer file", Origin::design}};
}

constexpr Range index_range{1.0, 10.0, "1 to 10"};
constexpr Range wafer_range{1e-5, 1e-2, "10 um to 10 mm"};
constexpr Range bow_range{-5e-3, 5e-3, "-5 to 5 mm"};
constexpr Range scan_range{1e-3, 1.0, "1 mm to 1 m"};
constexpr Range radius_range{-1e6, 1e6, "-1000 to 1000 km, not 0"};
constexpr Range curvature_range{-10.0, 10.0, "-10 to 10 1/m"};

Faces read_faces(const TomlTable& table, const std::string& key) {
    const std::map<std::string, Faces> names{
        {"none", Faces::none}, {"front", Faces::front}, {"back", Faces::back}, {"both", Faces::both}};
    if (!table.has(key)) table.missing(key, "the faces that carried the film: none, front, back or both");
    const auto found = names.find(table.text(key));
    if (found == names.end())
        table.refuse(key, "is '" + table.text(key) + "'; accepted: none, front, back, both" +
                              suggestion(table.text(key), {"none", "front", "back", "both"}));
    return found->second;
}

std::string read_row(const TomlTable& table, const std::string& key, const Materials& materials) {
    std::string row = table.text(key);
    if (materials.solids.find(row) != materials.solids.end()) return row;
    Names names;
    for (const auto& entry : materials.solids) names.push_back(entry.first);
    table.refuse(key, "is '" + row + "', no row of the material table" + suggestion(row, names) +
                          "; `tymbal materials` lists them");
}

/// The one kind in which both shapes are given; bow, radius and curvature are never told apart by their size.
std::string shape_kind(const TomlTable& shape) {
    std::string found;
    for (const char* kind : {"bow", "radius", "curvature"}) {
        const std::string before = std::string(kind) + "_before", after = std::string(kind) + "_after";
        if (!shape.has(before) && !shape.has(after)) continue;
        if (!found.empty())
            shape.refuse(shape.has(before) ? before : after,
                         "is given beside " + found + "; give one kind of pair only");
        if (!shape.has(before) || !shape.has(after))
            shape.missing(shape.has(before) ? after : before, "both shapes: stress follows from their difference");
        found = kind;
    }
    if (found.empty())
        shape.missing("bow_before", "a pair: bow_before and bow_after with scan, radius_* or curvature_*");
    if (found != "bow" && shape.has("scan")) shape.refuse("scan", "belongs to bow_before and bow_after");
    return found;
}

Sourced<InverseLength> read_radius(const TomlTable& shape, const std::string& key) {
    if (shape.text(key) == "flat") return {InverseLength{}, InverseLength{}, {"the wafer file", Origin::design}};
    const Sourced<Length> radius = value<Length>(shape, key, Kind::length, radius_range);
    if (radius.si() == 0.0) shape.refuse(key, "is zero; a flat wafer is \"flat\"");
    return curvature_of_radius(radius);
}

Sourced<InverseLength> read_shape(const TomlTable& shape, const std::string& kind, const std::string& when) {
    const std::string key = kind + when;
    if (kind == "curvature") return value<InverseLength>(shape, key, Kind::inverse_length, curvature_range);
    if (kind == "radius") return read_radius(shape, key);
    return curvature_of_bow(value<Length>(shape, key, Kind::length, bow_range),
                            value<Length>(shape, "scan", Kind::length, scan_range));
}

OtherLayer read_layer(const TomlTable& table) {
    require_known(table, {"name", "thickness", "stress", "films_before", "films_after"});
    return {table.text("name"), value<Length>(table, "thickness", Kind::length, ranges::thickness),
            value<Stress>(table, "stress", Kind::stress, ranges::stress), read_faces(table, "films_before"),
            read_faces(table, "films_after")};
}

Die read_die(const TomlTable& table) {
    require_known(table, {"name", "at", "thickness", "index", "stress"});
    const auto at = table.quantities("at", Kind::length, 2);
    Die die{
        table.text("name"), {at[0], at[1]}, value<Length>(table, "thickness", Kind::length, ranges::thickness), {}, {}};
    if (table.has("index")) die.index = value<Ratio>(table, "index", Kind::ratio, index_range);
    if (table.has("stress")) die.stress = value<Stress>(table, "stress", Kind::stress, ranges::stress);
    return die;
}

TomlTable section(const TomlTable& root, const std::string& name, const Names& known) {
    if (!root.has(name))
        throw InputError({root.place().file, 0}, name, "is missing; a wafer file needs [" + name + "]");
    TomlTable table = root.table(name);
    require_known(table, known);
    return table;
}

}  // namespace

std::string describe_wafer_keys() {
    return key_text;
}

Wafer parse_wafer(const std::string& text, const std::string& path, const Materials& materials) {
    const toml::value parsed = parse_toml(text, path);
    const TomlTable root(path, "", parsed);
    require_known(root, {"title", "film", "wafer", "shape", "layer", "die"});
    const TomlTable film =
        section(root, "film", {"material", "thickness", "back_thickness", "index", "index_wavelength"});
    const TomlTable wafer = section(root, "wafer", {"material", "surface", "thickness"});
    const TomlTable shape = section(root, "shape",
                                    {"bow_before", "bow_after", "scan", "radius_before", "radius_after",
                                     "curvature_before", "curvature_after", "films_before", "films_after"});
    const std::string kind = shape_kind(shape);
    const Sourced<Length> front = value<Length>(film, "thickness", Kind::length, ranges::thickness);
    Wafer out{
        root.has("title") ? root.text("title") : "",
        sha256_hex(text),
        read_row(film, "material", materials),
        wafer.has("material") ? read_row(wafer, "material", materials) : "silicon",
        kind,
        false,
        {},
        0.0,
        {value<Length>(wafer, "thickness", Kind::length, wafer_range),
         0.0,
         0.0,
         read_shape(shape, kind, "_before"),
         read_shape(shape, kind, "_after"),
         front,
         film.has("back_thickness") ? value<Length>(film, "back_thickness", Kind::length, ranges::thickness) : front,
         read_faces(shape, "films_before"),
         read_faces(shape, "films_after"),
         {}},
        {}};
    if (materials.solids.find(out.wafer_material) == materials.solids.end())
        wafer.missing("material", "a row: the material table has none named silicon");
    if (wafer.has("surface")) {
        const std::string surface = wafer.text("surface");
        if (surface != "100" && surface != "111") wafer.refuse("surface", "is '" + surface + "'; accepted: 100, 111");
        out.surface_111 = surface == "111";
    }
    if (film.has("index")) out.index = value<Ratio>(film, "index", Kind::ratio, index_range);
    if (root.has("layer"))
        for (const TomlTable& layer : root.tables("layer")) out.bend.others.push_back(read_layer(layer));
    if (root.has("die"))
        for (const TomlTable& die : root.tables("die")) out.dies.push_back(read_die(die));
    const bool indexed =
        out.index || std::any_of(out.dies.begin(), out.dies.end(), [](const Die& d) { return d.index; });
    if (indexed || film.has("index_wavelength"))
        out.index_wavelength_m =
            value<Length>(film, "index_wavelength", Kind::length, {1e-7, 2e-5, "100 nm to 20 um"}).si();
    return out;
}

Wafer read_wafer(const std::string& path, const Materials& materials) {
    return parse_wafer(read_text(path, 1), path, materials);
}

}  // namespace tymbal
