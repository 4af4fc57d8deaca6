#include "tymbal/base/parse_quantity.h"

#include "tymbal/base/constants.h"
#include "tymbal/base/nearest.h"

#include <array>
#include <charconv>
#include <cmath>
#include <optional>

namespace tymbal {

namespace {

struct Unit {
    const char* name;
    double factor;
    double offset = 0.0;  ///< added after scaling; temperatures only
};

constexpr double atm = 101325.0;
constexpr double torr = atm / 760.0;

const std::vector<Unit>& units_of(Kind kind) {
    static const std::vector<Unit> length{{"nm", 1e-9}, {"um", 1e-6}, {"µm", 1e-6},
                                          {"mm", 1e-3}, {"cm", 1e-2}, {"m", 1.0}};
    static const std::vector<Unit> stress{{"GPa", 1e9}, {"MPa", 1e6}, {"kPa", 1e3}, {"Pa", 1.0}, {"dyn/cm^2", 0.1}};
    static const std::vector<Unit> pressure{{"mbar", 1e2},          {"bar", 1e5},   {"Pa", 1.0}, {"kPa", 1e3},
                                            {"mTorr", 1e-3 * torr}, {"Torr", torr}, {"atm", atm}};
    static const std::vector<Unit> density{{"kg/m^3", 1.0}, {"g/cm^3", 1e3}};
    static const std::vector<Unit> temperature{{"K", 1.0}, {"mK", 1e-3}, {"degC", 1.0, 273.15}};
    static const std::vector<Unit> frequency{{"Hz", 1.0}, {"kHz", 1e3}, {"MHz", 1e6}, {"GHz", 1e9}};
    static const std::vector<Unit> time{{"s", 1.0}, {"min", 60.0}, {"h", 3600.0}, {"ms", 1e-3}};
    static const std::vector<Unit> power{{"W", 1.0}, {"mW", 1e-3}, {"uW", 1e-6}, {"µW", 1e-6}, {"nW", 1e-9}};
    static const std::vector<Unit> angle{{"deg", constants::pi / 180.0}, {"rad", 1.0}, {"mrad", 1e-3}};
    static const std::vector<Unit> ratio{{"", 1.0}, {"%", 1e-2}};
    static const std::vector<Unit> expansion{{"1/K", 1.0}, {"ppm/K", 1e-6}};
    static const std::vector<Unit> conductivity{{"W/(m K)", 1.0}, {"W/m/K", 1.0}};
    static const std::vector<Unit> heat{{"J/(kg K)", 1.0}, {"J/kg/K", 1.0}};
    static const std::vector<Unit> inverse{{"1/m", 1.0}, {"1/nm", 1e9}, {"1/um", 1e6}};
    static const std::vector<Unit> molar{{"kg/mol", 1.0}, {"g/mol", 1e-3}};
    static const std::vector<Unit> viscosity{{"Pa s", 1.0}, {"uPa s", 1e-6}};
    constexpr double per_minute = 1.0 / 60.0;
    static const std::vector<Unit> speed{
        {"nm/min", 1e-9 * per_minute}, {"um/min", 1e-6 * per_minute}, {"nm/s", 1e-9}, {"m/s", 1.0}};
    static const std::vector<Unit> surface{{"mN/m", 1e-3}, {"N/m", 1.0}};
    static const std::vector<Unit> adhesion{{"J/m^2", 1.0}, {"mJ/m^2", 1e-3}};
    switch (kind) {
        case Kind::length: return length;
        case Kind::stress: return stress;
        case Kind::pressure: return pressure;
        case Kind::density: return density;
        case Kind::temperature: return temperature;
        case Kind::frequency: return frequency;
        case Kind::time: return time;
        case Kind::power: return power;
        case Kind::angle: return angle;
        case Kind::ratio: return ratio;
        case Kind::thermal_expansion: return expansion;
        case Kind::thermal_conductivity: return conductivity;
        case Kind::heat_capacity: return heat;
        case Kind::inverse_length: return inverse;
        case Kind::molar_mass: return molar;
        case Kind::viscosity: return viscosity;
        case Kind::speed: return speed;
        case Kind::surface_tension: return surface;
        case Kind::adhesion: return adhesion;
    }
    throw std::logic_error("units_of: unhandled kind");
}

constexpr std::array<Kind, 19> all_kinds{Kind::length,
                                         Kind::stress,
                                         Kind::pressure,
                                         Kind::density,
                                         Kind::temperature,
                                         Kind::frequency,
                                         Kind::time,
                                         Kind::power,
                                         Kind::angle,
                                         Kind::ratio,
                                         Kind::thermal_expansion,
                                         Kind::thermal_conductivity,
                                         Kind::heat_capacity,
                                         Kind::inverse_length,
                                         Kind::molar_mass,
                                         Kind::viscosity,
                                         Kind::speed,
                                         Kind::surface_tension,
                                         Kind::adhesion};

std::string accepted(Kind kind) {
    std::string text = "accepted: ";
    bool first = true;
    for (const std::string& name : accepted_units(kind)) {
        if (!first) text.append(", ");
        text.append(name.empty() ? "a plain number" : name);
        first = false;
    }
    return text;
}

std::string quoted(std::string_view text) {
    std::string out = "'";
    return out.append(text.substr(0, 80)).append(text.size() > 80 ? "...'" : "'");
}

[[noreturn]] void refuse(std::string_view text, const std::string& why, Kind kind) {
    throw UnitError("is " + quoted(text) + ", " + why + "; " + accepted(kind));
}

std::string_view trimmed(std::string_view text) {
    while (!text.empty() && (text.front() == ' ' || text.front() == '\t')) text.remove_prefix(1);
    while (!text.empty() && (text.back() == ' ' || text.back() == '\t')) text.remove_suffix(1);
    return text;
}

/// Takes a decimal number off the front of the text; nothing when there is none.
std::optional<double> take_number(std::string_view& text) {
    text = trimmed(text);
    std::string_view rest = text;
    if (!rest.empty() && rest.front() == '+' && rest.substr(0, 2) != "+-") rest.remove_prefix(1);
    if (rest.empty() || !(rest.front() == '-' || rest.front() == '.' || (rest.front() >= '0' && rest.front() <= '9')))
        return std::nullopt;  // keeps "inf" and "nan" out
    double value = 0.0;
    const auto [end, error] =
        std::from_chars(rest.data(), rest.data() + rest.size(), value, std::chars_format::general);
    if (error != std::errc() || !std::isfinite(value)) return std::nullopt;
    text = rest.substr(static_cast<std::size_t>(end - rest.data()));
    return value;
}

constexpr std::array<std::string_view, 3> plus_minus{"+-", "\u00b1", "+/-"};

bool take_plus_minus(std::string_view& text) {
    text = trimmed(text);
    for (const std::string_view sign : plus_minus) {
        if (text.substr(0, sign.size()) != sign) continue;
        text.remove_prefix(sign.size());
        return true;
    }
    return false;
}

/// Other spellings of the units; messages name the usual one alone.
std::string_view usual_spelling(std::string_view name) {
    constexpr std::array<std::array<std::string_view, 2>, 8> spellings{{{"\u03bcm", "\u00b5m"},  // Greek mu, micro sign
                                                                        {"\u03bcW", "\u00b5W"},
                                                                        {"torr", "Torr"},
                                                                        {"mtorr", "mTorr"},
                                                                        {"hPa", "mbar"},
                                                                        {"\u00b0C", "degC"},
                                                                        {"dyne/cm^2", "dyn/cm^2"},
                                                                        {"dyn/cm", "mN/m"}}};
    for (const auto& [other, usual] : spellings)
        if (name == other) return usual;
    return name;
}

const Unit* find_unit(std::string_view name, Kind kind) {
    name = usual_spelling(name);
    for (const Unit& unit : units_of(kind))
        if (name == unit.name) return &unit;
    return nullptr;
}

/// Takes what stands before a plus-minus sign; nothing where there is none.
std::string_view take_unit(std::string_view& text) {
    std::size_t end = std::string_view::npos;
    for (const std::string_view sign : plus_minus) end = std::min(end, text.find(sign));
    if (end == std::string_view::npos) return {};
    const std::string_view unit = trimmed(text.substr(0, end));
    text.remove_prefix(end);
    return unit;
}

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

/// "1.000,5" and "1,000.5" as "1000.5", "0,9" as "0.9": the last sign is the decimal one, unless it comes again.
std::string with_point(std::string_view number) {
    const std::size_t last = number.find_last_of(".,");
    if (last == std::string_view::npos) return std::string(number);
    const bool thousands = number.find_first_not_of("0123456789") != last && number.find(number[last]) != last;
    std::string out;
    for (std::size_t k = 0; k < number.size(); ++k)
        if (is_digit(number[k]))
            out.append(1, number[k]);
        else if (k == last && !thousands)
            out.append(".");
    return out;
}

/// The text with every number that has a comma written with a point.
std::string mended(std::string_view text) {
    std::string out;
    while (!text.empty()) {
        std::size_t size = std::min(text.find_first_not_of("0123456789.,"), text.size());
        while (size > 0 && !is_digit(text[size - 1])) --size;
        const std::string_view number = text.substr(0, size);
        const bool comma = number.find(',') != std::string_view::npos;
        out.append(comma ? with_point(number) : std::string(number));
        text.remove_prefix(size);
        const std::size_t between = std::min(text.find_first_of("0123456789"), text.size());
        out.append(text.substr(0, between));
        text.remove_prefix(between);
    }
    return out;
}

/// What is meant by a text that no number and unit make: a decimal comma, angstroms.
std::string hint(std::string_view text, std::string_view name, Kind kind) {
    if (name.size() > 1 && name.front() == ',' && is_digit(name[1]))
        return std::string("with a comma; the decimal sign is a point, as in '")
            .append(mended(text.substr(0, 80)))
            .append("', and thousands are not marked");
    const bool angstrom =
        name == "A" || name == "Angstrom" || name == "angstrom" || name == "\u00c5" || name == "\u212b";
    if (kind == Kind::length && angstrom) return "and angstroms are not taken; ten of them are 1 nm";
    return "";
}

/// The right unit, or the error that says what the text is instead.
const Unit& require_unit(std::string_view text, std::string_view name, Kind kind) {
    if (const Unit* unit = find_unit(name, kind)) return *unit;
    if (const std::string meant = hint(text, name, kind); !meant.empty()) refuse(text, meant, kind);
    if (name.empty()) refuse(text, "a bare number; a unit is needed", kind);
    for (const Kind other : all_kinds)
        if (find_unit(name, other) != nullptr)
            refuse(text, "a " + to_string(other) + " where a " + to_string(kind) + " is wanted", kind);
    std::vector<std::string> known = accepted_units(kind);
    refuse(text, "and the unit " + quoted(name) + " is not known" + suggestion(std::string(name), known), kind);
}

struct Spread {
    const Unit* of_value = nullptr;
    const Unit* of_deviation = nullptr;  ///< null: per cent of the value
};

/// @param before  what stands between the value and its plus-minus sign, may be empty
/// @param after   what stands behind the deviation
Spread spread_units(std::string_view text, std::string_view before, std::string_view after, Kind kind) {
    const bool share = kind != Kind::ratio && after.substr(0, 1) == "%";
    const std::string_view behind = share ? trimmed(after.substr(1)) : after;
    if (share && kind == Kind::temperature)
        refuse(text, "whose zero is a convention, so that a share of it says nothing; give kelvins", kind);
    if (share && !before.empty() && !behind.empty())
        refuse(text, "with a unit on either side of '+-' and per cent", kind);
    const Unit& unit = require_unit(text, before.empty() ? behind : before, kind);
    if (share) return {&unit, nullptr};
    return {&unit, before.empty() ? &unit : &require_unit(text, behind, kind)};
}

}  // namespace

Dimension dimension_of(Kind kind) {
    switch (kind) {
        case Kind::length: return Length::dimension;
        case Kind::stress:
        case Kind::pressure: return Stress::dimension;
        case Kind::density: return Density::dimension;
        case Kind::temperature: return Temperature::dimension;
        case Kind::frequency: return Frequency::dimension;
        case Kind::time: return Time::dimension;
        case Kind::power: return Power::dimension;
        case Kind::angle: return Angle::dimension;
        case Kind::ratio: return Ratio::dimension;
        case Kind::thermal_expansion: return ThermalExpansion::dimension;
        case Kind::thermal_conductivity: return ThermalConductivity::dimension;
        case Kind::heat_capacity: return SpecificHeat::dimension;
        case Kind::inverse_length: return InverseLength::dimension;
        case Kind::molar_mass: return MolarMass::dimension;
        case Kind::viscosity: return Viscosity::dimension;
        case Kind::speed: return Speed::dimension;
        case Kind::surface_tension:
        case Kind::adhesion: return Tension::dimension;
    }
    throw std::logic_error("dimension_of: unhandled kind");
}

std::string to_string(Kind kind) {
    switch (kind) {
        case Kind::length: return "length";
        case Kind::stress: return "stress";
        case Kind::pressure: return "pressure";
        case Kind::density: return "density";
        case Kind::temperature: return "temperature";
        case Kind::frequency: return "frequency";
        case Kind::time: return "time";
        case Kind::power: return "power";
        case Kind::angle: return "angle";
        case Kind::ratio: return "ratio";
        case Kind::thermal_expansion: return "thermal expansion";
        case Kind::thermal_conductivity: return "thermal conductivity";
        case Kind::heat_capacity: return "heat capacity";
        case Kind::inverse_length: return "inverse length";
        case Kind::molar_mass: return "molar mass";
        case Kind::viscosity: return "viscosity";
        case Kind::speed: return "speed";
        case Kind::surface_tension: return "surface tension";
        case Kind::adhesion: return "adhesion energy";
    }
    throw std::logic_error("to_string: unhandled kind");
}

std::vector<std::string> accepted_units(Kind kind) {
    std::vector<std::string> names;
    for (const Unit& unit : units_of(kind)) names.emplace_back(unit.name);
    return names;
}

std::string si_unit(Kind kind) {
    for (const Unit& unit : units_of(kind))
        if (unit.factor == 1.0 && unit.offset == 0.0) return unit.name;
    throw std::logic_error("si_unit: a kind without SI unit");
}

ParsedQuantity parse_quantity(std::string_view text, Kind kind) {
    std::string_view rest = text;
    const std::optional<double> value = take_number(rest);
    if (!value) refuse(text, "which does not begin with a number", kind);
    ParsedQuantity parsed;
    const std::string_view unit_before = take_unit(rest);
    double deviation = 0.0;
    if (take_plus_minus(rest)) {
        const std::optional<double> given = take_number(rest);
        if (!given || *given < 0.0) refuse(text, "where a number of zero or more must follow '+-'", kind);
        deviation = *given;
        parsed.has_deviation = true;
    }
    const Spread spread = spread_units(text, unit_before, trimmed(rest), kind);
    parsed.value = *value * spread.of_value->factor + spread.of_value->offset;
    parsed.deviation = spread.of_deviation != nullptr ? deviation * spread.of_deviation->factor
                                                      : 0.01 * deviation * std::abs(parsed.value);
    if (!std::isfinite(parsed.value) || !std::isfinite(parsed.deviation)) refuse(text, "which is too large", kind);
    return parsed;
}

}  // namespace tymbal
