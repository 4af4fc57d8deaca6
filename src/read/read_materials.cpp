#include "tymbal/read/read_materials.h"

#include "../text/toml_table.h"
#include "assets.h"
#include "find_row.h"

#include "tymbal/base/nearest.h"
#include "tymbal/text/whole_file.h"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <filesystem>
#include <limits>
#include <map>

namespace tymbal {

namespace {

namespace fs = std::filesystem;

constexpr std::array<const char*, 3> solid_files{"films.toml", "solids.toml", "metals.toml"};
constexpr const char* gas_file = "gases.toml";
constexpr const char* etchant_file = "etchants.toml";
constexpr const char* liquid_file = "liquids.toml";

void require_known(const TomlTable& table, const std::vector<std::string>& known) {
    for (const std::string& key : table.keys())
        if (std::find(known.begin(), known.end(), key) == known.end())
            table.refuse(key, "is not a key here" + suggestion(key, known));
}

Origin read_origin(const TomlTable& table) {
    const std::string word = table.text("origin");
    if (word == "table") return Origin::table;
    if (word == "abstract") return Origin::abstract;
    if (word == "memory") return Origin::memory;
    if (word == "derived") return Origin::derived;
    table.refuse("origin", "is '" + word + "'; accepted: table, abstract, memory, derived");
}

Source read_source(const TomlTable& table) {
    Source source{table.text("source"), read_origin(table)};
    if (source.citation.empty()) table.refuse("source", "is empty; every value needs a source");
    return source;
}

/// What a property of matter may be; a figure outside is a slip of the pen, and would spoil all that follows from it.
struct Bounds {
    double low = -std::numeric_limits<double>::infinity();
    double high = std::numeric_limits<double>::infinity();
    const char* words = "";
};

const Bounds any{};
const Bounds not_negative{0.0, std::numeric_limits<double>::max(), "must not be below zero"};
const Bounds positive{std::numeric_limits<double>::min(), std::numeric_limits<double>::max(), "must be above zero"};
const Bounds poisson{-0.99, 0.499, "must lie between -1 and 0.5"};

double read_bare(const TomlTable& table, const std::string& key, Kind kind, const Bounds& bounds) {
    const ParsedQuantity parsed = table.quantity(key, kind);
    if (parsed.has_deviation) table.refuse(key, "has an uncertainty of its own; give it in 'deviation'");
    if (!(parsed.value >= bounds.low && parsed.value <= bounds.high)) table.refuse(key, bounds.words);
    return parsed.value;
}

template <class Q>
Sourced<Q> read_value(const TomlTable& row, const std::string& key, Kind kind, const Bounds& bounds = positive) {
    const TomlTable table = row.table(key);
    require_known(table, {"value", "deviation", "temperature", "source", "origin"});
    Source source = read_source(table);
    if (table.has("temperature")) source.citation += " (" + table.text("temperature") + ")";
    const double value = read_bare(table, "value", kind, bounds);
    return {Q::from_si(value), Q::from_si(read_bare(table, "deviation", kind, not_negative)), source};
}

template <class Q>
void read_optional(const TomlTable& row, const std::string& key, Kind kind, std::optional<Sourced<Q>>& into,
                   const Bounds& bounds = positive) {
    if (row.has(key)) into = read_value<Q>(row, key, kind, bounds);
}

Dispersion read_index(const TomlTable& table) {
    require_known(table, {"terms", "constant", "points", "deviation", "from_um", "to_um", "source", "origin"});
    Dispersion index;
    if (table.has("constant")) index.constant = table.number("constant");
    if (table.has("terms"))
        for (const TomlTable& term : table.tables("terms"))
            index.terms.push_back({term.number("strength"), term.number("resonance_um")});
    if (table.has("points"))
        for (const TomlTable& point : table.tables("points"))
            index.points.push_back({point.number("um"), point.number("n"), point.has("k") ? point.number("k") : 0.0});
    for (std::size_t k = 1; k < index.points.size(); ++k)
        if (!(index.points[k].um > index.points[k - 1].um)) table.refuse("points", "must rise in um");
    if (index.points.size() == 1) table.refuse("points", "needs at least two entries; use constant for one");
    index.deviation = table.number("deviation");
    index.from_um = table.number("from_um");
    index.to_um = table.number("to_um");
    if (index.deviation < 0.0) table.refuse("deviation", "must not be below zero");
    if (!(index.from_um > 0.0 && index.to_um >= index.from_um)) table.refuse("to_um", "must not lie below from_um");
    index.source = read_source(table);
    return index;
}

Solid read_solid(const std::string& name, const TomlTable& row) {
    require_known(row, {"title", "youngs_modulus", "poisson_ratio", "density", "film_stress", "thermal_expansion",
                        "thermal_conductivity", "heat_capacity", "strength", "quality_volume", "quality_surface",
                        "extinction", "index", "c11", "c12", "c44"});
    Solid solid;
    solid.row = name;
    solid.title = row.text("title");
    read_optional(row, "youngs_modulus", Kind::stress, solid.youngs_modulus);
    read_optional(row, "poisson_ratio", Kind::ratio, solid.poisson_ratio, poisson);
    read_optional(row, "density", Kind::density, solid.density);
    read_optional(row, "film_stress", Kind::stress, solid.film_stress, any);
    read_optional(row, "thermal_expansion", Kind::thermal_expansion, solid.thermal_expansion, any);
    read_optional(row, "thermal_conductivity", Kind::thermal_conductivity, solid.thermal_conductivity);
    read_optional(row, "heat_capacity", Kind::heat_capacity, solid.heat_capacity);
    read_optional(row, "strength", Kind::stress, solid.strength);
    read_optional(row, "quality_volume", Kind::ratio, solid.quality_volume);
    read_optional(row, "quality_surface", Kind::inverse_length, solid.quality_surface);
    read_optional(row, "extinction", Kind::ratio, solid.extinction, not_negative);
    if (row.has("index")) solid.index = read_index(row.table("index"));
    if (row.has("c11"))
        solid.crystal =
            Crystal{read_value<Stress>(row, "c11", Kind::stress), read_value<Stress>(row, "c12", Kind::stress),
                    read_value<Stress>(row, "c44", Kind::stress)};
    return solid;
}

Gas read_gas(const std::string& name, const TomlTable& row) {
    require_known(row, {"title", "molar_mass", "viscosity"});
    return {name, row.text("title"), read_value<MolarMass>(row, "molar_mass", Kind::molar_mass),
            read_value<Viscosity>(row, "viscosity", Kind::viscosity)};
}

Etchant read_etchant(const std::string& name, const TomlTable& row) {
    require_known(row, {"title", "hazard", "rates"});
    Etchant etchant{name, row.text("title"), row.text("hazard"), {}};
    const TomlTable rates = row.table("rates");
    for (const std::string& material : rates.keys())
        etchant.rates.emplace(material, read_value<Speed>(rates, material, Kind::speed, not_negative));
    return etchant;
}

Liquid read_liquid(const std::string& name, const TomlTable& row) {
    require_known(row, {"title", "hazard", "surface_tension", "adhesion"});
    Liquid liquid{name,
                  row.text("title"),
                  row.text("hazard"),
                  read_value<Tension>(row, "surface_tension", Kind::surface_tension, not_negative),
                  {}};
    read_optional(row, "adhesion", Kind::adhesion, liquid.adhesion);
    return liquid;
}

bool holds_table(const fs::path& folder) {
    std::error_code ignored;
    return fs::is_regular_file(folder / gas_file, ignored);
}

}  // namespace

std::string find_materials(const std::string& wanted, const std::string& program) {
    const auto require = [](const fs::path& folder, const char* who) {
        if (!holds_table(folder))
            throw InputError({folder.string(), 0}, "",
                             std::string("holds no material table, though given as one (") + who +
                                 "); name the folder that holds gases.toml and the other files");
        return folder.string();
    };
    if (!wanted.empty()) return require(wanted, "materials");
    if (const char* variable = std::getenv("TYMBAL_MATERIALS"); variable != nullptr && *variable != '\0')
        return require(variable, "TYMBAL_MATERIALS");
    std::error_code ignored;
    const fs::path real = fs::canonical(program, ignored);
    const fs::path installed = real.parent_path().parent_path() / "share" / "tymbal" / "materials";
    if (!real.empty() && holds_table(installed)) return installed.string();
    if (holds_table(source_materials)) return std::string(source_materials);
    throw InputError({installed.string(), 0}, "",
                     "holds no material table; name one yourself (materials) or by TYMBAL_MATERIALS");
}

Materials read_materials(const std::string& folder) {
    Materials materials;
    const auto for_each_row = [&](const std::string& file, auto&& take) {
        const std::string path = (fs::path(folder) / file).string();
        const toml::value root = parse_toml(read_text(path, 1), path);
        const TomlTable table(path, "", root);
        for (const std::string& name : table.keys()) take(name, table.table(name));
    };
    for (const char* file : solid_files)
        for_each_row(file, [&](const std::string& name, const TomlTable& row) {
            if (!materials.solids.emplace(name, read_solid(name, row)).second)
                throw InputError(row.place(), name, "is a row of two files; name them apart");
        });
    if (materials.solids.count("silicon") == 0)
        throw InputError({(fs::path(folder) / "solids.toml").string(), 0}, "silicon",
                         "is no row of the table; chips are made of it unless a design names another material");
    for_each_row(gas_file, [&](const std::string& name, const TomlTable& row) {
        materials.gases.emplace(name, read_gas(name, row));
    });
    for_each_row(etchant_file, [&](const std::string& name, const TomlTable& row) {
        materials.etchants.emplace(name, read_etchant(name, row));
        for (const auto& rate : materials.etchants.at(name).rates)
            if (materials.solids.count(rate.first) == 0)
                row.table("rates").refuse(rate.first, "is no row of films, solids or metals" +
                                                          suggestion(rate.first, row_names(materials.solids)));
    });
    for_each_row(liquid_file, [&](const std::string& name, const TomlTable& row) {
        materials.liquids.emplace(name, read_liquid(name, row));
    });
    return materials;
}

void require_table_kept(const std::string& folder, const std::string& target) {
    std::map<std::string, std::string> read;
    const auto enter = [&](const char* file) { read.emplace((fs::path(folder) / file).string(), "material table"); };
    for (const char* file : solid_files) enter(file);
    for (const char* file : {gas_file, etchant_file, liquid_file}) enter(file);
    require_inputs_kept(read, target);
}

}  // namespace tymbal
