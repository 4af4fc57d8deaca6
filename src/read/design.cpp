#include "tymbal/read/design.h"

#include "../base/sha256.h"
#include "../text/toml_table.h"
#include "change_design.h"
#include "written_design.h"

#include "tymbal/base/error.h"
#include "tymbal/base/nearest.h"
#include "tymbal/read/design_keys.h"

#include <algorithm>
#include <filesystem>

namespace tymbal {

namespace {

/// The table that a key stands in, or nothing where it is not written.
template <class Value>
Value* table_of(Value& root, const KeyPath& path) {
    Value* at = &root;
    for (std::size_t begin = 0; begin < path.section.size();) {
        const std::size_t end = std::min(path.section.find('.', begin), path.section.size());
        const std::string name = path.section.substr(begin, end - begin);
        if (!at->is_table() || !at->contains(name)) return nullptr;
        at = &at->at(name);
        begin = end + 1;
    }
    if (path.number == 0) return at;
    return at->is_array() && path.number <= at->as_array().size() ? &at->as_array()[path.number - 1] : nullptr;
}

/// The value of a key, or nothing where it is not written.
const toml::value* value_of(const toml::value& root, const std::string& full) {
    const KeyPath path = key_path(full);
    const toml::value* table = table_of(root, path);
    return table != nullptr && table->is_table() && table->contains(path.key) ? &table->at(path.key) : nullptr;
}

/// @throws InputError with the nearest key, or section where the name has no dot
void require_known(const std::string& name) {
    if (name == "title" || name.find('.') != std::string::npos) return void(changeable_key(name));
    throw InputError({}, name, "is not a section of a design" + suggestion(name, design_sections()));
}

bool is_section(const std::string& name) {
    const std::vector<std::string> sections = design_sections();
    return std::find(sections.begin(), sections.end(), name) != sections.end();
}

}  // namespace

Design::Design() : written_(std::make_shared<const WrittenDesign>(WrittenDesign{toml::table{}, "", ""})) {}

Design Design::with(const Changes& changes) const {
    WrittenDesign changed = *written_;
    apply_changes(changed.root, changed.path, changes);
    return Design(std::make_shared<const WrittenDesign>(std::move(changed)));
}

Design Design::without(const std::string& key) const {
    WrittenDesign changed = *written_;
    if (is_section(key) && key.find('.') == std::string::npos) {
        changed.root.as_table().erase(key);
    } else {
        require_known(key);
        const KeyPath path = key_path(key);
        if (toml::value* table = table_of(changed.root, path); table != nullptr && table->is_table())
            table->as_table().erase(path.key);
    }
    return Design(std::make_shared<const WrittenDesign>(std::move(changed)));
}

bool Design::has(const std::string& key) const {
    if (is_section(key) && key.find('.') == std::string::npos) return written_->root.contains(key);
    require_known(key);
    return value_of(written_->root, key) != nullptr;
}

std::optional<ParsedQuantity> Design::number(const std::string& key) const {
    const DesignKey& row = changeable_key(key);
    const toml::value* value = value_of(written_->root, key);
    if (value == nullptr) return std::nullopt;
    if (const auto put = quantity_put(*value)) return put;
    if (value->is_floating()) return ParsedQuantity{value->as_floating(), 0.0, false};
    if (value->is_integer()) return ParsedQuantity{static_cast<double>(value->as_integer()), 0.0, false};
    if (!value->is_string() || !row.kind) return std::nullopt;
    try {
        return parse_quantity(value->as_string().str, *row.kind);
    } catch (const UnitError&) {
        return std::nullopt;  // check() says so
    }
}

std::optional<std::string> Design::text(const std::string& key) const {
    (void)changeable_key(key);
    const toml::value* value = value_of(written_->root, key);
    return value != nullptr && value->is_string() ? std::optional<std::string>(value->as_string().str) : std::nullopt;
}

const std::string& Design::file() const {
    return written_->path;
}

const std::string& Design::sha256() const {
    return written_->sha256;
}

bool operator==(const Design& a, const Design& b) {
    return a.written_ == b.written_ || a.written_->root == b.written_->root;
}

Design parse_design(const std::string& text, const std::string& path) {
    return Design(std::make_shared<const WrittenDesign>(WrittenDesign{parse_toml(text, path), path, sha256_hex(text)}));
}

Design read_design(const std::string& path) {
    return parse_design(read_text(path), path);
}

namespace {

std::map<std::string, std::string> in_their_roles(const std::string& design, const std::string& holes) {
    std::map<std::string, std::string> roles;
    for (const auto& [file, role] : {std::pair(design, "design"), std::pair(holes, "holes")})
        if (!file.empty()) roles.emplace(std::filesystem::path(file).lexically_normal().string(), role);
    return roles;
}

}  // namespace

std::map<std::string, std::string> files_of(const Device& device) {
    return in_their_roles(device.file, device.hole_file);
}

std::map<std::string, std::string> files_of(const Design& design) {
    const std::optional<std::string> holes = design.text("holes.file");
    const std::filesystem::path folder = std::filesystem::path(design.file()).parent_path();
    return in_their_roles(design.file(), holes ? (folder / *holes).string() : "");
}

void check(const Design& design, const Materials& materials, const ReadLimits& limits) {
    (void)as_released(design, materials, limits);
}

DeviceAt devices_of(const Design& design, const Materials& materials, const ReadLimits& limits) {
    return [design, &materials, limits](const Changes& changes) {
        return as_released(design.with(changes), materials, limits);
    };
}

}  // namespace tymbal
