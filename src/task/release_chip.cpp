#include "tymbal/task/release_chip.h"

#include "chip_apart.h"
#include "each_device.h"

#include "tymbal/base/error.h"
#include "tymbal/film/cell_memo.h"
#include "tymbal/geometry/between.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace tymbal {

namespace {

constexpr double sigmas = 2.0;
constexpr double same_time = 1e-6;  // relative: devices alike share an end of the window

std::string chip_place(const std::string& name, const std::string& what) {
    return "device " + name + ": " + what;
}

/// The time at which fronts have come so far.
std::optional<ChipWindowEnd> front_end(const Device& device, double undercut_m, std::vector<std::string> names,
                                       const char* what) {
    const auto pair = etch_pair(*device.release, device.film.material);
    if (!pair) return std::nullopt;
    const double time = time_for(*pair, undercut_m);
    return ChipWindowEnd{std::move(names), what, time, time * std::exp(-sigmas * pair->sacrificial_spread())};
}

/// The undercut at which fronts of two things so far apart meet; one may have none, or start later.
double meeting_undercut(const ChipThing& a, const ChipThing& b, double apart_m) {
    constexpr double never = std::numeric_limits<double>::infinity();
    const double from_a = a.front_from_m.value_or(never), from_b = b.front_from_m.value_or(never);
    const double first = std::min(from_a, from_b), second = std::max(from_a, from_b);
    return std::min(first + apart_m, std::max(second, 0.5 * (first + second + apart_m)));
}

using Ends = std::vector<ChipWindowEnd>;

/// Device by device: its limits, and its front at the chip's edge.
std::vector<Ends> own_ends(const ChipDesign& chip, const std::vector<ChipThing>& things,
                           const std::vector<ReleasedDevice>& devices) {
    std::vector<Ends> all(things.size());
    for (std::size_t k = 0; k < things.size(); ++k) {
        if (const auto& etch = devices[k].report.etch)
            for (const WindowEnd& end : etch->ends)
                all[k].push_back({{devices[k].name}, end.limit, end.time_s, end.early_s});
        if (!things[k].front_from_m) continue;
        const double undercut = *things[k].front_from_m + room_to_edge(things[k], chip.chip);
        if (auto end = front_end(chip.devices[k].device, undercut, {devices[k].name}, "front reaches the chip's edge"))
            all[k].push_back(std::move(*end));
    }
    return all;
}

/// Whether an end comes before one of those, which a device that stays has, too.
bool comes_first(const ChipWindowEnd& end, const Ends& own) {
    return std::none_of(own.begin(), own.end(), [&](const ChipWindowEnd& other) {
        return other.time_s <= end.time_s && other.early_s <= end.early_s;
    });
}

/// The fronts of two devices where they meet before either is lost; whether that closes the window depends on who else
/// shares the chip.
std::optional<ChipWindowEnd> meeting_end(const ChipDesign& chip, const std::vector<ChipThing>& things, std::size_t j,
                                         std::size_t k, const std::vector<Ends>& own) {
    const ChipThing &a = things[j], &b = things[k];
    if (!a.front_from_m && !b.front_from_m) return std::nullopt;
    const Device& grows = chip.devices[b.front_from_m ? k : j].device;
    std::optional<ChipWindowEnd> end;
    // Boxes first: they are nearer than what is in them, and enough for most pairs of a large chip.
    for (const double enough : {0.0, std::numeric_limits<double>::infinity()}) {
        const double apart = distance_between({a.rim, a.at}, {b.rim, b.at}, enough);
        end = front_end(grows, meeting_undercut(a, b, apart), {chip.devices[j].name, chip.devices[k].name},
                        "fronts meet");
        if (!end || !comes_first(*end, own[j]) || !comes_first(*end, own[k])) return std::nullopt;
    }
    return end;
}

Ends all_ends(const ChipDesign& chip, const std::vector<ReleasedDevice>& devices) {
    std::vector<ChipThing> things;
    for (const ChipDevice& d : chip.devices) things.push_back(thing_of(d, 0.0));
    const std::vector<Ends> own = own_ends(chip, things, devices);
    Ends all;
    for (std::size_t k = 0; k < things.size(); ++k) {
        all.insert(all.end(), own[k].begin(), own[k].end());
        for (std::size_t j = 0; j < k; ++j)
            if (auto end = meeting_end(chip, things, j, k, own)) all.push_back(std::move(*end));
    }
    std::stable_sort(all.begin(), all.end(),
                     [](const ChipWindowEnd& a, const ChipWindowEnd& b) { return a.time_s < b.time_s; });
    return all;
}

bool stays(const std::string& name, const std::vector<std::string>& moved) {
    return std::find(moved.begin(), moved.end(), name) == moved.end();
}

bool all_stay(const std::vector<std::string>& names, const std::vector<std::string>& moved) {
    return std::all_of(names.begin(), names.end(), [&](const std::string& name) { return stays(name, moved); });
}

void open_window(const ReleasedDevice& device, CommonWindow& window) {
    if (!device.report.etch || !(device.report.etch->clear_s > 0.0)) return;
    const EtchReport& etch = *device.report.etch;
    window.opens_late_s = std::max(window.opens_late_s, etch.clear_late_s);
    const double opens = window.opens_s.value_or(0.0);
    if (etch.clear_s > opens * (1.0 + same_time)) {
        window.opens_s = etch.clear_s;
        window.opened_by = {device.name};
    } else if (etch.clear_s >= opens * (1.0 - same_time)) {
        window.opened_by.push_back(device.name);
    }
}

/// @param ends  earliest first
void close_window(const ChipWindowEnd& end, CommonWindow& window) {
    if (!window.closes_s) {
        window.closes_s = end.time_s;
        window.closes_early_s = end.early_s;
        window.closing_limit = end.limit;
    }
    window.closes_early_s = std::min(window.closes_early_s, end.early_s);
    if (end.time_s > *window.closes_s * (1.0 + same_time) || end.limit != window.closing_limit) return;
    for (const std::string& name : end.devices)
        if (stays(name, window.closed_by)) window.closed_by.push_back(name);
}

CommonWindow window_of(const std::vector<ReleasedDevice>& devices, const std::vector<ChipWindowEnd>& ends,
                       const std::vector<std::string>& moved) {
    CommonWindow window;
    for (const ReleasedDevice& device : devices)
        if (stays(device.name, moved)) open_window(device, window);
    for (const ChipWindowEnd& end : ends)
        if (all_stay(end.devices, moved)) close_window(end, window);
    return window;
}

/// How long a window is open, in multiples of its opening; negative for none.
double width_of(const CommonWindow& window) {
    if (!window.opens_s || !window.closes_s) return std::numeric_limits<double>::infinity();
    return *window.closes_s / *window.opens_s - 1.0;
}

/// A choice of devices to move, and what it leaves the others.
struct Leaving {
    std::vector<std::string> names;
    CommonWindow window;
};

/// An open window first, then fewer devices to move, then the wider window.
bool better(const Leaving& a, const Leaving& b) {
    if (a.window.is_open() != b.window.is_open()) return a.window.is_open();
    if (a.names.size() != b.names.size()) return a.names.size() < b.names.size();
    return width_of(a.window) > width_of(b.window);
}

/// Step by step those leave who open or those who close the window; devices alike leave together.
std::vector<std::string> devices_to_move(const std::vector<ReleasedDevice>& devices,
                                         const std::vector<ChipWindowEnd>& ends) {
    Leaving now{{}, window_of(devices, ends, {})};
    while (!now.window.is_open()) {
        std::optional<Leaving> best;
        for (const std::vector<std::string>& leaving : {now.window.opened_by, now.window.closed_by}) {
            Leaving next{now.names, {}};
            next.names.insert(next.names.end(), leaving.begin(), leaving.end());
            if (next.names.size() >= devices.size()) continue;
            next.window = window_of(devices, ends, next.names);
            if (!best || better(next, *best)) best = next;
        }
        if (!best) return {};  // no device can stay with another
        now = *best;
    }
    return now.names;
}

void add_warnings(const ChipRelease& chip, Warnings& out) {
    const CommonWindow& w = chip.window;
    if (!w.is_open())
        out.push_back({"no-common-window", "the bath breaks " + w.closing_limit + " of " + w.closed_by.front() +
                                               " before " + w.opened_by.front() +
                                               " is clear: these devices cannot share a chip"});
    else if (w.opens_s && w.closes_s && w.opens_late_s > w.closes_early_s)
        out.push_back({"window-closed",
                       "with the rates two standard deviations off, a limit may be reached before the last device is "
                       "clear; narrow the rate on a test piece, or give the slowest device denser holes"});
    if (chip.time_s > 0.0 && w.opens_s && chip.time_s < *w.opens_s)
        out.push_back({"time-too-short", "the time of [release] ends before " + w.opened_by.front() + " is clear"});
    if (chip.time_s > 0.0 && w.closes_s && chip.time_s > *w.closes_s)
        out.push_back(
            {"time-too-long", "the time of [release] lies beyond " + w.closing_limit + " of " + w.closed_by.front()});
    for (const ReleasedDevice& device : chip.devices) {
        for (const LimitCheck& limit : device.report.limits)
            if (!limit.held) out.push_back({"limit-broken", chip_place(device.name, "does not hold " + limit.key)});
        for (const Warning& w_device : device.report.warnings)
            if (w_device.code == "drying-collapse" || w_device.code == "not-solved" || w_device.code == "regions")
                out.push_back({w_device.code, chip_place(device.name, w_device.text)});
    }
}

}  // namespace

ChipRelease release_chip(const ChipDesign& chip, const Materials& materials, unsigned threads,
                         const Progressed& progressed) {
    for (const ChipDevice& device : chip.devices)
        if (!device.device.release)
            throw NoAnswer("device " + device.name +
                           " has no section [release]; give the chip file one: gap, etchant, undercut or time");
    ChipRelease out;
    out.title = chip.title;
    out.sha256 = chip.sha256;
    const CellMemo cells;
    out.devices = each_device(chip, threads, progressed, [&](const ChipDevice& device) {
        return ReleasedDevice{device.name, device.position, release(device.device, materials, {}, cells)};
    });
    for (const ReleasedDevice& device : out.devices) {
        if (!device.report.etch || device.report.etch->time_s <= out.time_s) continue;
        out.time_s = device.report.etch->time_s;
        out.time_deviation_s = device.report.etch->time_deviation_s;
    }
    out.ends = all_ends(chip, out.devices);
    out.window = window_of(out.devices, out.ends, {});
    out.to_move = devices_to_move(out.devices, out.ends);
    add_warnings(out, out.warnings);
    return out;
}

}  // namespace tymbal
