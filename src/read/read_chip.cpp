#include "tymbal/read/read_chip.h"

#include "../base/in_parallel.h"
#include "../base/sha256.h"
#include "../text/figures.h"
#include "../text/toml_table.h"
#include "beside.h"
#include "chip_devices.h"
#include "chip_sections.h"

#include "tymbal/base/nearest.h"
#include "tymbal/geometry/between.h"
#include "tymbal/geometry/boundary.h"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <functional>
#include <optional>
#include <thread>
#include <utility>

namespace tymbal {

namespace {

WrittenDesign open_chip(const std::string& path) {
    const std::string text = read_text(path);
    return {parse_toml(text, path), path, sha256_hex(text)};
}

bool has_devices(const toml::value& root) {
    return root.contains("device") || root.contains("array");
}

void require_sections(const TomlTable& root) {
    std::vector<std::string> known = shared_sections();
    known.insert(known.end(), {"title", "marks", "device", "array"});
    for (const std::string& key : root.keys())
        if (std::find(known.begin(), known.end(), key) == known.end())
            root.refuse(key, "is not a section of a chip file" + suggestion(key, known) +
                                 "; what belongs to one device stands in its design");
    for (const std::string& section : shared_sections())
        if (root.has(section)) (void)root.table(section);
    if (!root.has("chip")) root.missing("chip", "the section [chip] with width, length and thickness of the silicon");
    const TomlTable chip = root.table("chip");
    for (const char* side : {"width", "length", "thickness"})
        if (!chip.has(side)) chip.missing(side, "the size of the silicon, such as \"10 mm\"");
    if (chip.has("position")) chip.refuse("position", "belongs to a device; give it in [[device]] or [[array]]");
}

double marks_length(const TomlTable& marks, const std::string& key, double fallback) {
    if (!marks.has(key)) return fallback;
    const ParsedQuantity given = marks.quantity(key, Kind::length);
    if (given.deviation > 0.0) marks.refuse(key, "is drawn as it is given and takes no deviation");
    const double value = given.value;
    if (!(value >= 1e-7 && value <= 0.1)) marks.refuse(key, "is out of range; accepted: 0.1 um to 10 cm");
    return value;
}

std::string marks_line(const TomlTable& marks, const std::string& key) {
    std::string text = marks.text(key);
    if (text.size() > 200 || std::any_of(text.begin(), text.end(), [](unsigned char c) { return c < 0x20; }))
        marks.refuse(key, "must be one line of at most 200 characters");
    return text;
}

ChipMarks read_marks(const TomlTable& root) {
    ChipMarks out;
    if (!root.has("marks")) return out;
    constexpr std::size_t most = 1000;
    const std::vector<std::string> known{"label",       "crosses", "cross_arm",     "cross_width",     "squares",
                                         "square_side", "picture", "picture_width", "picture_position"};
    const TomlTable marks = root.table("marks");
    for (const std::string& key : marks.keys())
        if (std::find(known.begin(), known.end(), key) == known.end())
            marks.refuse(key, "is not a key of [marks]" + suggestion(key, known));
    if (marks.has("label")) out.label = marks_line(marks, "label");
    if (marks.has("crosses")) out.crosses = marks.points("crosses", most);
    if (marks.has("squares")) out.squares = marks.points("squares", most);
    out.cross_arm_m = marks_length(marks, "cross_arm", out.cross_arm_m);
    out.cross_width_m = marks_length(marks, "cross_width", out.cross_width_m);
    out.square_side_m = marks_length(marks, "square_side", out.square_side_m);
    if (out.cross_width_m >= out.cross_arm_m) marks.refuse("cross_width", "must be smaller than cross_arm");
    if (marks.has("picture")) out.picture = path_beside(marks, "picture");
    out.picture_width_m = marks_length(marks, "picture_width", out.picture_width_m);
    if (marks.has("picture_position")) {
        const auto xy = marks.quantities("picture_position", Kind::length, 2);
        out.picture_position = {xy[0], xy[1]};
    }
    return out;
}

void require_marks_on_chip(const TomlTable& root, const ChipMarks& marks, const Chip& chip) {
    if (!root.has("marks")) return;
    const auto require = [&](const char* key, const std::vector<Point>& centres, double reach) {
        for (std::size_t k = 0; k < centres.size(); ++k)
            if (std::abs(centres[k].x) + reach > 0.5 * chip.width.si() ||
                std::abs(centres[k].y) + reach > 0.5 * chip.length.si())
                root.table("marks").refuse(key, "number " + std::to_string(k + 1) + " leaves the chip");
    };
    require("crosses", marks.crosses, marks.cross_arm_m);
    require("squares", marks.squares, 0.5 * marks.square_side_m);
}

/// @throws InputError where films of two devices meet
void require_films_apart(const std::vector<WrittenDevice>& written, const std::vector<ChipDevice>& devices) {
    std::vector<Boundary> rims;
    for (const ChipDevice& d : devices) rims.push_back(boundary(d.device.outline));
    for (std::size_t k = 0; k < devices.size(); ++k)
        for (std::size_t j = 0; j < k; ++j)
            if (distance_between({rims[k], devices[k].position}, {rims[j], devices[j].position}, 0.0) <= 0.0)
                throw InputError(written[k].named, "position",
                                 "of device " + devices[k].name + " lets its film meet that of " + devices[j].name +
                                     " (line " + std::to_string(written[j].named.line) + "); move one of them");
}

bool stands_in(const toml::value& value, int line) {
    if (static_cast<int>(value.location().line()) == line) return true;
    const auto inside = [line](const toml::value& v) { return stands_in(v, line); };
    if (value.is_array()) return std::any_of(value.as_array().begin(), value.as_array().end(), inside);
    if (!value.is_table()) return false;
    return std::any_of(value.as_table().begin(), value.as_table().end(),
                       [&](const auto& entry) { return inside(entry.second); });
}

/// Whether a place lies in what the chip file says for all devices.
bool is_shared(const WrittenDesign& chip, const Place& place) {
    if (place.file != chip.path) return false;
    return std::any_of(shared_sections().begin(), shared_sections().end(), [&](const std::string& section) {
        return chip.root.contains(section) && stands_in(chip.root.at(section), place.line);
    });
}

using ReadDevice = std::function<Device(const WrittenDevice&)>;

std::string fault_of(const WrittenDevice& device, const ReadDevice& read) {
    try {
        (void)read(device);
        return "";
    } catch (const InputError& e) {
        return e.what();
    }
}

[[noreturn]] void refuse(const WrittenDevice& device, const InputError& e) {
    if (e.key() == "chip.position")
        throw InputError(device.placed, "position", "of device " + device.name + " " + e.message());
    refuse_in_device(device.name, device.named, device.design.path, e.what());
}

/// Beside each other. What is wrong is told of the device, but of the chip's section where that is wrong for all.
std::vector<ChipDevice> read_devices(const WrittenDesign& chip, const std::vector<WrittenDevice>& written,
                                     const ReadDevice& read) {
    std::vector<std::optional<ChipDevice>> read_ones(written.size());
    in_parallel(written.size(), std::max(1U, std::thread::hardware_concurrency()), [&](std::size_t k) {
        const WrittenDevice& device = written[k];
        try {
            read_ones[k] = ChipDevice{device.name, read(device), device.position, device.design.path};
        } catch (const InputError& e) {
            const auto alike = [&](const WrittenDevice& other) { return fault_of(other, read) == e.what(); };
            if (is_shared(chip, e.place()) && std::all_of(written.begin(), written.end(), alike)) throw;
            refuse(device, e);
        }
    });
    std::vector<ChipDevice> devices;
    for (std::optional<ChipDevice>& device : read_ones) devices.push_back(std::move(*device));
    return devices;
}

std::string device_names(const std::vector<WrittenDevice>& all) {
    std::string names;
    for (const WrittenDevice& device : all) names.append(names.empty() ? "" : ", ").append(device.name);
    return names;
}

const WrittenDevice& find_device(const WrittenDesign& file, const std::vector<WrittenDevice>& all,
                                 const std::string& name) {
    const auto found = std::find_if(all.begin(), all.end(), [&](const WrittenDevice& d) { return d.name == name; });
    if (found != all.end()) return *found;
    throw InputError({file.path, 0}, "--device",
                     name.empty() ? "is missing: this is a chip of many devices, name one of " + device_names(all)
                                  : "'" + name + "' is no device of this chip; it has " + device_names(all));
}

/// But for its devices'.
std::map<std::string, std::string> files_of_chip(const std::string& path, const ChipMarks& marks) {
    std::map<std::string, std::string> roles;
    for (const auto& [file, role] : {std::pair(path, "chip"), std::pair(marks.picture, "picture")})
        if (!file.empty()) roles.emplace(std::filesystem::path(file).lexically_normal().string(), role);
    return roles;
}

}  // namespace

bool is_chip_file(const std::string& path) {
    const std::string text = read_text(path);
    // A design is parsed once, by its reader: that of a large file takes seconds.
    if (text.find("device") == std::string::npos && text.find("array") == std::string::npos) return false;
    return has_devices(parse_toml(text, path));
}

ChipDesign read_chip(const std::string& path, const Materials& materials, const ReadLimits& limits,
                     const Changes& settings) {
    const WrittenDesign file = open_chip(path);
    const TomlTable root(path, "", file.root);
    if (!has_devices(file.root))
        throw InputError({path, 0}, "device", "is missing; a chip file has [[device]] or [[array]]");
    require_sections(root);
    ChipDesign out;
    out.title = root.has("title") ? root.text("title") : "";
    out.file = path;
    out.sha256 = file.sha256;
    out.marks = read_marks(root);
    const std::vector<WrittenDevice> written = written_devices(file);
    if (written.empty()) root.refuse("device", "is an empty list; a chip needs at least one device");
    out.devices = read_devices(file, written, [&](const WrittenDevice& device) {
        const Design design(std::make_shared<const WrittenDesign>(device.design));
        return as_released(design.with(settings), materials, limits);
    });
    require_films_apart(written, out.devices);
    out.chip = *out.devices.front().device.chip;
    out.chip.position = {};
    require_marks_on_chip(root, out.marks, out.chip);
    return out;
}

std::map<std::string, std::string> files_of(const ChipDesign& chip) {
    std::map<std::string, std::string> roles = files_of_chip(chip.file, chip.marks);
    for (const ChipDevice& d : chip.devices) roles.merge(files_of(d.device));
    return roles;
}

std::map<std::string, std::string> files_named_by_chip(const std::string& path) {
    const WrittenDesign file = open_chip(path);
    std::map<std::string, std::string> roles = files_of_chip(path, read_marks(TomlTable(path, "", file.root)));
    for (const WrittenDevice& d : written_devices(file))
        roles.merge(files_of(Design(std::make_shared<const WrittenDesign>(d.design))));
    return roles;
}

Design read_chip_device(const std::string& path, const std::string& name) {
    const WrittenDesign file = open_chip(path);
    const TomlTable root(path, "", file.root);
    require_sections(root);
    const std::vector<WrittenDevice> all = written_devices(file);
    return Design(std::make_shared<const WrittenDesign>(find_device(file, all, name).design));
}

}  // namespace tymbal
