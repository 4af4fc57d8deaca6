#include "chip_devices.h"

#include "../text/toml_table.h"
#include "beside.h"
#include "change_design.h"
#include "chip_sections.h"

#include "tymbal/base/nearest.h"
#include "tymbal/read/design.h"
#include "tymbal/read/design_keys.h"
#include "tymbal/read/parse_axis.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace tymbal {

namespace {

constexpr std::size_t most_devices = 1000;

void require_keys(const TomlTable& table, const std::vector<std::string>& known) {
    for (const std::string& key : table.keys())
        if (std::find(known.begin(), known.end(), key) == known.end())
            table.refuse(key, "is no key of a chip file" + suggestion(key, known));
}

/// Letters that every file system and drawing takes.
std::string read_name(const TomlTable& table) {
    std::string name = table.text("name");
    const auto plain = [](unsigned char c) {
        return (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-' || c == '_';
    };
    if (name.empty() || name.size() > 24 || !std::all_of(name.begin(), name.end(), plain))
        table.refuse("name", "must be 1 to 24 letters, digits, '-' or '_': files and cells are named after it");
    return name;
}

Point read_place(const TomlTable& table, const std::string& key) {
    const auto xy = table.quantities(key, Kind::length, 2);
    for (const double v : xy)
        if (!(std::abs(v) <= 1.0)) table.refuse(key, "lies more than a metre away");
    return {xy[0], xy[1]};
}

/// Designs that several devices use are read and joined to the chip once.
class Designs {
public:
    explicit Designs(const WrittenDesign& chip) : chip_(chip) {}

    const WrittenDesign& named_by(const TomlTable& device, const std::string& name) {
        const std::string path = path_beside(device, "design");
        if (const auto found = read_.find(path); found != read_.end()) return found->second;
        in_device(name, device.place(), path, [&] { add(path, name); });
        return read_.at(path);
    }

private:
    void add(const std::string& path, const std::string& name) {
        WrittenDesign design = read_design(path).written();
        for (const char* key : {"device", "array"})
            if (design.root.contains(key))
                throw InputError({path, 0}, key, "makes this a chip file; a device needs a design");
        join_sections(chip_, design);
        if (read_.empty())
            first_ = path, first_name_ = name;
        else
            require_one_chip(read_.at(first_), first_name_, design);
        read_.emplace(path, std::move(design));
    }

    const WrittenDesign& chip_;
    std::map<std::string, WrittenDesign> read_;
    std::string first_, first_name_;
};

struct OwnChange {
    std::string section, key;
    toml::value value;
};

[[noreturn]] void refuse_shared(const TomlTable& table, const std::string& key, const std::string& section) {
    table.refuse(key, "changes what all devices of a chip share; it can only be changed for all, in [" + section +
                          "] of the chip file");
}

/// { "holes.diameter" = "1.8 um" } and { holes = { diameter = "1.8 um" } } alike.
std::vector<OwnChange> read_change(const TomlTable& device, const toml::value& written) {
    std::vector<OwnChange> changes;
    if (!device.has("change")) return changes;
    const TomlTable table = device.table("change");
    for (const std::string& name : table.keys()) {
        const std::size_t dot = name.find('.');
        const std::string section = name.substr(0, dot);
        if (is_of_the_chip(section)) refuse_shared(table, name, section);
        const toml::value& value = written.at("change").at(name);
        if (dot != std::string::npos)
            changes.push_back({section, name.substr(dot + 1), value});
        else if (value.is_table())
            for (const auto& [key, inner] : value.as_table()) changes.push_back({section, key, inner});
        else
            table.refuse(name,
                         "is no key of a design; accepted: \"section.key\" = value, such as \"holes.diameter\" = "
                         "\"1.8 um\"");
    }
    return changes;
}

/// Every derived key stands for a bare number.
double derived_number(const toml::value& value, const std::string& key, const Place& named) {
    if (value.is_floating()) return value.as_floating();
    if (value.is_integer()) return static_cast<double>(value.as_integer());
    throw InputError(named, key, "takes a bare number");
}

std::string written_text(const toml::value& value, const std::string& key, const Place& named) {
    if (value.is_string()) return value.as_string().str;
    throw InputError(named, key, "takes a text in quotes, such as \"60 um\"");
}

/// What a device has otherwise than its design: written values as they are, then numbers and what is derived.
void apply(const std::vector<OwnChange>& own, Changes varied, WrittenDevice& device) {
    for (const OwnChange& change : own) {
        const std::string full = change.section + "." + change.key;
        if (std::any_of(varied.begin(), varied.end(), [&](const Change& c) { return c.key == full; }))
            throw InputError(device.named, full, "is both changed and varied; do one of them");
        if (change.section == "openings") {  // counted: openings.2.width
            varied.push_back({full, written_text(change.value, full, device.named)});
            continue;
        }
        if (is_derived_key(full)) {
            varied.push_back({full, derived_number(change.value, full, device.named)});
            continue;
        }
        if (find_design_key(change.section, change.key) == nullptr)
            throw InputError(device.named, full,
                             "is no key of a design that a device can change" +
                                 suggestion(change.key, design_key_names(change.section)));
        toml::value& root = device.design.root;
        if (!root.contains(change.section)) root[change.section] = toml::table{};
        if (root.at(change.section).is_table()) root[change.section][change.key] = change.value;
    }
    apply_changes(device.design.root, device.design.path, varied);
}

toml::value length(double metres) {
    return put_quantity(metres, 0.0, Kind::length);
}

/// One [[device]] or [[array]].
struct Entry {
    TomlTable table;
    const toml::value& written;
};

WrittenDevice make_device(const Entry& entry, const std::string& name, Designs& designs, Point position,
                          const Changes& varied) {
    const TomlTable& table = entry.table;
    WrittenDevice device{name, table.place(), table.place("position"), designs.named_by(table, name), position};
    const std::vector<OwnChange> own = read_change(table, entry.written);
    in_device(name, device.named, device.design.path, [&] {
        apply(own, varied, device);
        toml::value& root = device.design.root;
        if (root.contains("chip") && root.at("chip").is_table())
            root["chip"]["position"] = toml::array{length(position.x), length(position.y)};
    });
    return device;
}

SweepAxis read_axis(const TomlTable& table, const std::string& key) {
    SweepAxis axis;
    try {
        axis = parse_axis(table.text(key), "values");
    } catch (const InputError& e) {
        table.refuse(key, e.what());
    }
    const std::string section = axis.key.substr(0, axis.key.find('.'));
    if (is_of_the_chip(section)) refuse_shared(table, key, section);
    return axis;
}

struct ArrayShape {
    SweepGrid grid;  ///< y before x, so that x runs fastest
    std::size_t across = 1;
};

ArrayShape read_shape(const TomlTable& table) {
    ArrayShape shape;
    for (const char* key : {"vary_y", "vary_x"})
        if (table.has(key)) shape.grid.axes.push_back(read_axis(table, key));
    if (shape.grid.axes.empty())
        table.missing("vary_x", "what the devices differ in, such as vary_x = \"outline.width=100um..300um:5\"");
    if (shape.grid.axes.size() == 2 && shape.grid.axes[0].key == shape.grid.axes[1].key)
        table.refuse("vary_y", "varies the key that vary_x varies");
    if (table.has("vary_x")) shape.across = shape.grid.axes.back().values.size();
    if (shape.grid.size() > most_devices)
        table.refuse(table.has("vary_x") ? "vary_x" : "vary_y",
                     "makes more than " + std::to_string(most_devices) + " devices");
    return shape;
}

void add_device(const Entry& entry, Designs& designs, std::vector<WrittenDevice>& all) {
    const TomlTable& table = entry.table;
    require_keys(table, {"name", "design", "position", "change"});
    all.push_back(make_device(entry, read_name(table), designs, read_place(table, "position"), {}));
}

void add_array(const Entry& entry, Designs& designs, std::vector<WrittenDevice>& all) {
    const TomlTable& table = entry.table;
    require_keys(table, {"name", "design", "position", "step", "vary_x", "vary_y", "change"});
    const std::string name = read_name(table);
    const ArrayShape shape = read_shape(table);
    const Point from = read_place(table, "position"), step = read_place(table, "step");
    for (std::size_t k = 0; k < shape.grid.size(); ++k) {
        const std::size_t column = k % shape.across, row = k / shape.across;
        const Point at{from.x + static_cast<double>(column) * step.x, from.y + static_cast<double>(row) * step.y};
        std::string own = name;
        own.append(std::to_string(k + 1));
        all.push_back(make_device(entry, own, designs, at, shape.grid.at(k)));
    }
}

void require_apart(const std::vector<WrittenDevice>& all) {
    std::map<std::string, int> names;
    for (std::size_t k = 0; k < all.size(); ++k) {
        const WrittenDevice& device = all[k];
        const auto [known, is_new] = names.emplace(device.name, device.named.line);
        if (!is_new)
            throw InputError(device.named, "name",
                             "'" + device.name + "' is given twice, first at line " + std::to_string(known->second) +
                                 "; names of devices are unique on a chip");
        for (std::size_t j = 0; j < k; ++j)
            if (std::hypot(all[j].position.x - device.position.x, all[j].position.y - device.position.y) < 1e-9)
                throw InputError(device.named, "position",
                                 "puts device " + device.name + " where " + all[j].name + " stands (line " +
                                     std::to_string(all[j].named.line) + "); move one of them");
    }
}

}  // namespace

void refuse_in_device(const std::string& name, const Place& named, const std::string& design_file,
                      const std::string& what) {
    const bool says_file = what.find(design_file) != std::string::npos;
    throw InputError(named, "device " + name + (says_file ? "" : " (" + design_file + ")"), what);
}

std::vector<WrittenDevice> written_devices(const WrittenDesign& chip) {
    std::vector<WrittenDevice> all;
    Designs designs(chip);
    const TomlTable root(chip.path, "", chip.root);
    for (const std::string key : {"device", "array"}) {
        if (!root.has(key)) continue;
        const std::vector<TomlTable> tables = root.tables(key);
        for (std::size_t k = 0; k < tables.size(); ++k) {
            const Entry entry{tables[k], chip.root.at(key).as_array()[k]};
            key == "device" ? add_device(entry, designs, all) : add_array(entry, designs, all);
            if (all.size() > most_devices)
                entry.table.refuse("name", "brings the chip to more than " + std::to_string(most_devices) + " devices");
        }
    }
    require_apart(all);
    return all;
}

}  // namespace tymbal
