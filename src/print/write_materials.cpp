#include "tymbal/print/write_table.h"

#include "../text/figures.h"

#include "tymbal/base/error.h"
#include "tymbal/base/nearest.h"

#include <algorithm>

namespace tymbal {

namespace {

constexpr std::size_t name_width = 24;  // an etchant's rates are named by the longest rows of solids

template <class Q>
void write_value(std::ostream& out, const char* name, const char* unit, double scale, const Sourced<Q>& value) {
    out << "  " << left(name, name_width) << with_uncertainty(value.si(), value.deviation_si(), scale)
        << (*unit == '\0' ? "" : " ") << unit << '\n'
        << "      " << wrapped(out, value.source().citation + " [" + to_string(value.source().origin) + "]", 6, 6)
        << '\n';
}

template <class Q>
void write_optional(std::ostream& out, const char* name, const char* unit, double scale,
                    const std::optional<Sourced<Q>>& value) {
    if (value) write_value(out, name, unit, scale, *value);
}

void write_heading(std::ostream& out, const std::string& row, const std::string& title) {
    out << wrapped(out, row + ": " + title, 0, 2) << '\n';
}

void write_solid(std::ostream& out, const Solid& s) {
    write_heading(out, s.row, s.title);
    write_optional(out, "Young's modulus", "GPa", 1e9, s.youngs_modulus);
    write_optional(out, "Poisson's ratio", "", 1.0, s.poisson_ratio);
    write_optional(out, "density", "kg/m^3", 1.0, s.density);
    write_optional(out, "film stress", "MPa", 1e6, s.film_stress);
    write_optional(out, "thermal expansion", "ppm/K", 1e-6, s.thermal_expansion);
    write_optional(out, "thermal conductivity", "W/(m K)", 1.0, s.thermal_conductivity);
    write_optional(out, "heat capacity", "J/(kg K)", 1.0, s.heat_capacity);
    write_optional(out, "strength", "GPa", 1e9, s.strength);
    write_optional(out, "intrinsic Q, volume", "", 1.0, s.quality_volume);
    write_optional(out, "intrinsic Q, surface", "per nm of thickness", 1e9, s.quality_surface);
    write_optional(out, "extinction k", "x 1e-6", 1e-6, s.extinction);
    if (!s.index) return;
    std::string n = s.index->terms.empty() ? with_uncertainty(s.index->constant, s.index->deviation, 1.0)
                                           : "formula, +- " + rough(s.index->deviation);
    out << "  " << left("refractive index", name_width) << n << ", " << with_prefix(1e-6 * s.index->from_um, "m", 3)
        << " to " << with_prefix(1e-6 * s.index->to_um, "m", 3) << '\n'
        << "      " << wrapped(out, s.index->source.citation + " [" + to_string(s.index->source.origin) + "]", 6, 6)
        << '\n';
}

void write_gas(std::ostream& out, const Gas& g) {
    write_heading(out, g.row, g.title);
    write_value(out, "molar mass", "g/mol", 1e-3, g.molar_mass);
    write_value(out, "viscosity", "uPa s", 1e-6, g.viscosity);
}

void write_etchant(std::ostream& out, const Etchant& e) {
    write_heading(out, e.row, e.title);
    for (const auto& [material, rate] : e.rates) write_value(out, material.c_str(), "nm/min", 1e-9 / 60.0, rate);
    if (!e.hazard.empty())
        out << "  "
            << wrapped(out, "hazard: " + e.hazard + "; trained and authorised people only, local rules decide", 2, 4)
            << '\n';
}

void write_liquid(std::ostream& out, const Liquid& l) {
    write_heading(out, l.row, l.title);
    write_value(out, "surface tension", "mN/m", 1e-3, l.surface_tension);
    write_optional(out, "adhesion left", "J/m^2", 1.0, l.adhesion);
}

/// Writes the rows of one kind that are asked for, an empty line between rows.
template <class Row>
void write_rows(std::ostream& out, const std::map<std::string, Row>& rows, const std::string& wanted,
                std::vector<std::string>& names, void (*write)(std::ostream&, const Row&)) {
    for (const auto& [name, row] : rows) {
        if (wanted.empty() || wanted == name) {
            if (!names.empty() && wanted.empty()) out << '\n';
            write(out, row);
        }
        names.push_back(name);
    }
}

}  // namespace

void write_materials(std::ostream& out, const Materials& materials, const std::string& row) {
    std::vector<std::string> names;
    write_rows(out, materials.solids, row, names, write_solid);
    write_rows(out, materials.gases, row, names, write_gas);
    write_rows(out, materials.etchants, row, names, write_etchant);
    write_rows(out, materials.liquids, row, names, write_liquid);
    if (!row.empty() && std::find(names.begin(), names.end(), row) == names.end())
        throw InputError(
            {}, row, "is no row of the material table" + suggestion(row, names) + "; `tymbal materials` lists them");
}

}  // namespace tymbal
