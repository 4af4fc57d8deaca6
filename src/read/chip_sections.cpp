#include "chip_sections.h"

#include "../text/toml_table.h"
#include "chip_values.h"

#include <algorithm>

namespace tymbal {

namespace {

const std::vector<std::string> of_the_chip{"film", "release", "process", "surroundings", "chip"};

std::string at(const Place& place) {
    return place.line > 0 ? std::string(place.file).append(":").append(std::to_string(place.line)) : place.file;
}

/// "is '90 nm', but chip.toml:7 says '100 nm'".
[[noreturn]] void refuse_difference(const TomlTable& here, const TomlTable& there, const std::string& key,
                                    const std::string& cure) {
    here.refuse(key, "is '" + here.written(key) + "', but " + at(there.place(key)) + " says '" + there.written(key) +
                         "'; " + cure);
}

/// A film's layers may cover one device only, and where a device stands is its own.
bool is_of_one_device(const std::string& section, const std::string& key) {
    return (section == "film" && key == "layer") || (section == "chip" && key == "position");
}

void join_section(const TomlTable& from, const std::string& section, const toml::value& values, WrittenDesign& design) {
    if (!design.root.contains(section)) {
        design.root[section] = values;
        return;
    }
    toml::value& target = design.root[section];
    if (!target.is_table()) return;  // the reader says so
    for (const auto& [key, value] : values.as_table()) {
        if (!target.contains(key))
            target[key] = value;
        else if (!same_value(target.at(key), value, section, key))
            refuse_difference(TomlTable(design.path, section, target), from, key,
                              "the chip has one value for all devices: make them equal or leave one out");
    }
}

void require_one_section(const TomlTable& first, const std::string& first_name, const TomlTable& other,
                         const std::string& section) {
    const std::string cure = "one chip has one value: give it in [" + section + "] of the chip file";
    for (const std::string& key : other.keys()) {
        if (is_of_one_device(section, key)) continue;
        if (!first.has(key))
            other.refuse(key, std::string("is given here, but not by the design of device ")
                                  .append(first_name)
                                  .append(" (")
                                  .append(at(first.place()))
                                  .append("); ")
                                  .append(cure));
    }
    for (const std::string& key : first.keys()) {
        if (is_of_one_device(section, key)) continue;
        if (!other.has(key))
            throw InputError(other.place(), other.full(key),
                             std::string("is missing, but ")
                                 .append(at(first.place(key)))
                                 .append(" gives it to device ")
                                 .append(first_name)
                                 .append("; ")
                                 .append(cure));
    }
}

void require_same_values(const toml::value& first, const WrittenDesign& first_design, const toml::value& other,
                         const WrittenDesign& other_design, const std::string& section) {
    for (const auto& [key, value] : other.as_table())
        if (!is_of_one_device(section, key) && !same_value(first.at(key), value, section, key))
            refuse_difference(TomlTable(other_design.path, section, other),
                              TomlTable(first_design.path, section, first), key,
                              "one chip has one value: give it in [" + section + "] of the chip file");
}

}  // namespace

const std::vector<std::string>& shared_sections() {
    static const std::vector<std::string> all{"chip",    "film",   "release", "process", "surroundings",
                                              "readout", "cavity", "limits",  "solve"};
    return all;
}

bool is_of_the_chip(const std::string& section) {
    return std::find(of_the_chip.begin(), of_the_chip.end(), section) != of_the_chip.end();
}

void join_sections(const WrittenDesign& chip, WrittenDesign& design) {
    for (const std::string& section : shared_sections()) {
        if (!chip.root.contains(section)) continue;
        const toml::value& values = chip.root.at(section);
        join_section(TomlTable(chip.path, section, values), section, values, design);
    }
}

void require_one_chip(const WrittenDesign& first, const std::string& first_name, const WrittenDesign& other) {
    for (const std::string& section : of_the_chip) {
        const bool here = first.root.contains(section), there = other.root.contains(section);
        if (here != there)
            throw InputError({(here ? other : first).path, 0}, section,
                             "is missing, but " + (here ? first : other).path + ", another design of the chip, has [" +
                                 section + "]; one chip has one: give it in the chip file");
        if (!here || !first.root.at(section).is_table() || !other.root.at(section).is_table()) continue;
        require_one_section(TomlTable(first.path, section, first.root.at(section)), first_name,
                            TomlTable(other.path, section, other.root.at(section)), section);
        require_same_values(first.root.at(section), first, other.root.at(section), other, section);
    }
}

}  // namespace tymbal
