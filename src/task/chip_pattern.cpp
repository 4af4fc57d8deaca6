#include "tymbal/task/chip_pattern.h"

#include "chip_apart.h"
#include "chip_furniture.h"
#include "device_figures.h"

#include "tymbal/base/error.h"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <limits>
#include <set>

namespace tymbal {

namespace {

/// Fowler, Noll and Vo's hash (1a, 32 bits; constants from memory).
class Hash {
public:
    void add(const std::string& text) {
        for (const char c : text) mix(static_cast<unsigned char>(c));
    }
    void add(int number) {
        for (int shift = 0; shift < 32; shift += 8) mix(static_cast<unsigned>(number) >> shift & 0xFFU);
    }
    void add(const DrawnPoint& p) {
        add(p.x);
        add(p.y);
    }
    [[nodiscard]] std::string text() const {
        char out[16];
        std::snprintf(out, sizeof out, "%08X", static_cast<unsigned>(hash_));
        return out;
    }

private:
    void mix(unsigned byte) { hash_ = (hash_ ^ byte) * 16777619U; }
    std::uint32_t hash_ = 2166136261U;
};

/// Of chip, designs and all that is drawn: any change gives other names.
std::string fingerprint_of(const ChipDesign& chip, const Drawing& drawing) {
    Hash hash;
    hash.add(chip.sha256);
    for (const ChipDevice& d : chip.devices) hash.add(d.device.sha256);
    for (const DrawnCell& cell : drawing.cells) {
        hash.add(cell.name);
        for (const DrawnFigure& figure : cell.figures)
            for (const DrawnPoint& p : figure.corners) hash.add(p);
        for (const Placement& p : cell.placements) hash.add(p.at);
    }
    return hash.text();
}

/// Readers take cells of one name for one cell: a device may be called as a mark is, or as another device's part.
void name_apart(Drawing& drawing) {
    std::set<std::string> taken;
    for (DrawnCell& cell : drawing.cells) {
        const std::string own = cell.name;
        for (int k = 2; !taken.insert(cell.name).second; ++k) cell.name = own + "_" + std::to_string(k);
    }
}

/// Letters, digits and underscores of a device's name, short enough for readers that know 32 letters.
std::string cell_name(const std::string& name) {
    std::string out;
    for (const char c : name) {
        const auto byte = static_cast<unsigned char>(c);
        out.push_back(byte < 0x80 && std::isalnum(byte) != 0 ? static_cast<char>(std::toupper(byte)) : '_');
    }
    out.resize(std::min<std::size_t>(out.size(), 12));
    return out;
}

/// The cells of a device behind those of the chip. Returns the number of the last.
std::size_t add_cells(const Drawing& from, const std::string& prefix, Drawing& to) {
    const std::size_t first = to.cells.size();
    for (DrawnCell cell : from.cells) {
        cell.name = cell.name == "DEVICE" ? prefix : prefix + "_" + cell.name;
        for (Placement& p : cell.placements) p.cell += first;
        to.cells.push_back(std::move(cell));
    }
    return to.cells.size() - 1;
}

int snapped(double metres, int grid) {
    return grid * static_cast<int>(std::lround(metres / drawn_unit_m / grid));
}

bool is_blank(const Device& d) {
    return !d.holes && d.openings.empty() && !std::holds_alternative<Strip>(d.outline);
}

ChipPatternDevice place_device(const ChipDevice& d, int grid) {
    ChipPatternDevice out;
    out.name = d.name;
    out.design_file = d.design_file;
    out.position = d.position;
    out.at = {snapped(d.position.x, grid), snapped(d.position.y, grid)};
    const Box b = free_box(d.device);
    out.box = {{out.at.x + snapped(b.low.x, grid), out.at.y + snapped(b.low.y, grid)},
               {out.at.x + snapped(b.high.x, grid), out.at.y + snapped(b.high.y, grid)}};
    out.pattern.title = d.device.title;
    out.pattern.sha256 = d.device.sha256;
    out.pattern.grid = grid;
    out.blank = is_blank(d.device);
    return out;
}

void draw_in(const ChipDevice& d, const ChipPatternOptions& options, ChipPatternDevice& out) {
    PatternOptions own;
    own.most_corners = options.most_corners;
    try {
        draw_device(d.device, own, out.pattern);
    } catch (const NoAnswer& e) {
        throw NoAnswer("device " + d.name + " (" + d.design_file + "): " + e.what());
    }
}

void draw_devices(const ChipDesign& chip, const ChipPatternOptions& options, std::vector<Placement>& whole,
                  ChipPattern& out) {
    for (const ChipDevice& d : chip.devices) {
        ChipPatternDevice device = place_device(d, out.grid);
        if (!device.blank) {
            draw_in(d, options, device);
            const std::size_t cell = add_cells(device.pattern.drawing, cell_name(d.name), out.drawing);
            whole.push_back({cell, device.at, 1, 1, {}, {}});
            device.pattern.drawing = {};
        } else {
            out.warnings.push_back({"blank-device", "device " + device.name +
                                                        " has neither holes nor openings: the mask has only its name"});
        }
        out.devices.push_back(std::move(device));
    }
}

/// The narrowest of all devices, each named where it breaks the limit.
void gather_checks(double least_feature, ChipPattern& out) {
    for (const char* name : {"least width", "least gap"}) {
        double least = std::numeric_limits<double>::infinity();
        for (const ChipPatternDevice& d : out.devices)
            for (const PatternCheck& c : d.pattern.checks) {
                if (c.name != name) continue;
                least = std::min(least, c.width_m);
                if (!c.held)
                    out.warnings.push_back({"below-least-feature", "the " + c.name + " of device " + d.name +
                                                                       " is below process.least_feature"});
            }
        if (std::isfinite(least)) out.checks.push_back(width_check(name, least, least_feature));
    }
}

}  // namespace

ChipPattern draw_chip(const ChipDesign& chip, const ChipPatternOptions& options) {
    ChipPattern out;
    out.title = chip.title;
    out.sha256 = chip.sha256;
    const Device& first = chip.devices.front().device;
    out.grid = address_grid(first);
    require_letters(chip, options);
    find_largest_undercut(chip, out);
    std::vector<Placement> whole;
    draw_devices(chip, options, whole, out);
    gather_checks(least_feature_m(first), out);
    const std::vector<Placement> furniture = furnish(chip, options, out);
    whole.insert(whole.end(), furniture.begin(), furniture.end());
    out.drawing.cells.push_back({"CHIP", {}, whole});
    name_apart(out.drawing);
    out.fingerprint = fingerprint_of(chip, out.drawing);
    for (DrawnCell& cell : out.drawing.cells) cell.name += "_" + out.fingerprint;
    return out;
}

}  // namespace tymbal
