#include "tymbal/record/observations.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <utility>

namespace tymbal {

namespace {

using ChipDevice = std::pair<std::string, std::string>;

struct Figure {
    double value = 0.0, deviation = 0.0;
    std::int64_t entry = 0;
};

/// All that is known of the chips, gathered once: single look-ups in a long log would be quadratic.
struct Gathered {
    std::map<ChipDevice, Figure> drawn;                       ///< hole width as drawn
    std::map<ChipDevice, std::vector<Figure>> printed;        ///< hole widths in the resist
    std::map<std::string, std::string> wafer, bath;           ///< of chips
    std::map<std::string, Figure> bath_time;                  ///< of chips
    std::map<std::string, std::vector<std::string>> devices;  ///< of chips, those with a drawn width
};

std::optional<Figure> figure(const RecordEntry& entry, const std::vector<std::string>& keys) {
    for (const std::string& key : keys)
        if (const RecordedValue* found = find_value(entry, key); found != nullptr && found->value)
            return Figure{*found->value, found->deviation.value_or(0.0), entry.number};
    return std::nullopt;
}

std::optional<Figure> hole_width(const RecordEntry& entry) {
    static const std::vector<std::string> names = names_of("hole_width");
    return figure(entry, names);
}

std::optional<Figure> bath_time(const RecordEntry& entry) {
    static const std::vector<std::string> names = names_of("time");
    return figure(entry, names);
}

std::string word(const RecordEntry& entry, const char* key) {
    const RecordedValue* found = find_value(entry, key);
    return found == nullptr ? "" : found->text;
}

/// A width that names no device belongs to the only one that has holes.
std::string device_of(const RecordEntry& entry, const Gathered& known) {
    if (!entry.device.empty()) return entry.device;
    const auto found = known.devices.find(entry.chip);
    return found != known.devices.end() && found->second.size() == 1 ? found->second.front() : "";
}

Gathered gather(const std::vector<RecordEntry>& entries) {
    Gathered known;
    for (const RecordEntry& e : entries) {
        if (const auto drawn = figure(e, {"drawn_width"}); drawn && !e.device.empty()) {
            if (known.drawn.insert_or_assign({e.chip, e.device}, *drawn).second)
                known.devices[e.chip].push_back(e.device);
        }
        if (const std::string wafer = word(e, "wafer"); !wafer.empty()) known.wafer[e.chip] = wafer;
        if (e.step != "released") continue;
        if (const std::string bath = word(e, "bath"); !bath.empty()) known.bath[e.chip] = bath;
        if (const auto time = bath_time(e)) known.bath_time[e.chip] = *time;
    }
    for (const RecordEntry& e : entries)
        if (e.step == "printed")
            if (const auto width = hole_width(e)) known.printed[{e.chip, device_of(e, known)}].push_back(*width);
    return known;
}

Figure mean(const std::vector<Figure>& figures) {
    Figure out;
    for (const Figure& f : figures) {
        out.value += f.value / static_cast<double>(figures.size());
        out.deviation += f.deviation * f.deviation;
    }
    out.deviation = std::sqrt(out.deviation) / static_cast<double>(figures.size());
    out.entry = figures.front().entry;
    return out;
}

class Observer {
public:
    explicit Observer(const std::vector<RecordEntry>& entries) : known_(gather(entries)) {
        for (const RecordEntry& e : entries) see(e);
        for (auto& [where, found] : latest_) out_.all.push_back(std::move(found));
        std::sort(out_.left_out.begin(), out_.left_out.end(),
                  [](const LeftOut& a, const LeftOut& b) { return a.entry < b.entry; });
    }
    [[nodiscard]] Observations result() { return std::move(out_); }

private:
    void see(const RecordEntry& e) {
        if (e.step == "printed") see_width(e, "process.lithography_bias", false);
        if (e.step == "etched") see_width(e, "process.etch_bias", true);
        if (e.step == "printed" || e.step == "etched") {
            add_stated(e, "process.lithography_bias");
            add_stated(e, "process.etch_bias");
        }
        if (e.step == "released" || e.step == "inspected" || e.step == "fitted") see_rates(e);
        if (e.step == "fitted" || e.step == "measured") see_film(e);
    }

    /// @param common  the part of the deviation that comes from another entry, which others may be seen against, too
    void add(const RecordEntry& e, const std::string& key, const std::string& group, const Figure& f,
             const Figure& common = {}) {
        out_.all.push_back(
            {key, group, e.chip, e.device, f.value, f.deviation, e.number, common.deviation, common.entry});
    }
    void leave_out(const RecordEntry& e, const std::string& why) { out_.left_out.push_back({e.number, why}); }

    void add_stated(const RecordEntry& e, const char* key) {
        if (const auto found = figure(e, {key})) add(e, key, "", *found);
    }

    void see_width(const RecordEntry& e, const char* key, bool etched) {
        const auto width = hole_width(e);
        if (!width) return;
        const ChipDevice where{e.chip, device_of(e, known_)};
        const auto drawn = known_.drawn.find(where);
        const auto printed = known_.printed.find(where);
        if (where.second.empty()) return leave_out(e, "a hole width without a device, on a chip of several");
        if (etched && printed == known_.printed.end())
            return leave_out(e, "an etched width of a device whose printed width is not recorded");
        if (!etched && drawn == known_.drawn.end())
            return leave_out(e, "a printed width of a device whose drawn width is not recorded");
        const Figure before = etched ? mean(printed->second) : drawn->second;
        const double deviation = 0.5 * std::hypot(width->deviation, before.deviation);
        add(e, key, "", {0.5 * (width->value - before.value), deviation}, {0.0, 0.5 * before.deviation, before.entry});
    }

    [[nodiscard]] std::string bath_of(const RecordEntry& e) const {
        const std::string own = word(e, "bath");
        const auto found = known_.bath.find(e.chip);
        return !own.empty() || found == known_.bath.end() ? own : found->second;
    }

    void see_rates(const RecordEntry& e) {
        for (const char* key : {"release.rate", "release.film_rate"})
            if (const auto stated = figure(e, {key})) add(e, key, bath_of(e), *stated);
        static const std::vector<std::string> names = names_of("undercut");
        const auto undercut = figure(e, names), lost = figure(e, {"film_loss"});
        if (undercut && !figure(e, {"release.rate"})) see_rate(e, "release.rate", *undercut);
        if (lost && !figure(e, {"release.film_rate"})) see_rate(e, "release.film_rate", *lost);
    }

    /// A fit repeated on the same chip is the same data again: the latest counts.
    void see_rate(const RecordEntry& e, const std::string& key, const Figure& length) {
        std::optional<Figure> time = bath_time(e);
        const auto of_chip = known_.bath_time.find(e.chip);
        if (!time && of_chip != known_.bath_time.end()) time = of_chip->second;
        if (!time || !(time->value > 0.0)) return leave_out(e, "a length etched without the time in the bath");
        const double rate = length.value / time->value;
        const double common = rate * time->deviation / time->value;
        const Observation found{
            key,      bath_of(e),       e.chip,     e.device, rate, std::hypot(length.deviation / time->value, common),
            e.number, std::abs(common), time->entry};
        if (e.step == "fitted")
            latest_[{key, e.chip, e.device}] = found;
        else
            out_.all.push_back(found);
    }

    void see_film(const RecordEntry& e) {
        const auto wafer = known_.wafer.find(e.chip);
        for (const char* key : {"film.stress", "film.thickness"})
            if (const auto found = figure(e, {key}))
                latest_[{key, e.chip, e.device}] = {key,          wafer == known_.wafer.end() ? "" : wafer->second,
                                                    e.chip,       e.device,
                                                    found->value, found->deviation,
                                                    e.number};
    }

    Gathered known_;
    Observations out_;
    std::map<std::array<std::string, 3>, Observation> latest_;
};

}  // namespace

Observations observations(const std::vector<RecordEntry>& entries) {
    return Observer(entries).result();
}

}  // namespace tymbal
