#include "advice.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

std::optional<double> number(const RecordEntry& entry, const char* key) {
    const RecordedValue* found = find_value(entry, key);
    return found == nullptr ? std::nullopt : found->value;
}

/// The last device drawn with a size, and the shared values of its chip.
struct Judge {
    const RecordEntry* device = nullptr;
    const RecordEntry* chip = nullptr;
};

Judge find_judge(const std::vector<RecordEntry>& entries) {
    Judge judge;
    for (const RecordEntry& e : entries)
        if (e.step == "drawn" && !e.device.empty() && number(e, "outline_size")) judge.device = &e;
    for (const RecordEntry& e : entries)
        if (judge.device != nullptr && e.step == "drawn" && e.device.empty() && e.chip == judge.device->chip)
            judge.chip = &e;
    return judge;
}

double bias_pull(const RecordEntry& device, bool grows) {
    constexpr double k = 1.25 / 0.75;
    const double fill = number(device, "fill_factor").value_or(0.0);
    const double hole = number(device, "hole_width").value_or(0.0);
    const double open = hole > 0.0 ? 0.5 * k / (1.0 + k * fill) * 4.0 * fill / hole : 0.0;
    return open + (grows ? 2.0 / *number(device, "outline_size") : 0.0);
}

/// What a line's deviation would be on the average, relative to what it is, and where the scatter is not known:
/// nothing.
std::optional<double> narrowed(const Learned& learned, int more_chips, double more_values) {
    const Pooled& now = learned.pooled;
    if (!now.scatter_known()) return std::nullopt;
    const Chips chips = values_of(learned);
    const double before = next_with(now, chip_mean_variance(chips), 0);
    return before > 0.0 ? next_with(now, chip_mean_variance(chips, more_values), more_chips) / before : 1.0;
}

std::string subject(const Learned& learned) {
    if (learned.key == "process.lithography_bias") return "printed hole widths";
    if (learned.key == "process.etch_bias") return "etched hole widths";
    if (learned.key == "release.rate") return "the undercut and its time";
    if (learned.key == "release.film_rate") return "the film lost in the bath and its time";
    return learned.key == "film.stress" ? "the film's stress (lines, then `tymbal compare`)" : "the film's thickness";
}

std::string place(const Learned& learned, const char* one) {
    std::string text = one;
    if (learned.of_groups) return text.append(learned.key.rfind("film.", 0) == 0 ? " more wafer" : " more bath");
    text.append(" more chip");
    if (learned.group.empty()) return text;
    return text.append(learned.key.rfind("film.", 0) == 0 ? " of wafer " : " of bath ").append(learned.group);
}

NextMeasurement measurement(const std::string& what, const Learned& learned, double now,
                            const std::optional<double>& ratio, const FrequencyPulls& pulls) {
    NextMeasurement next{what, learned.key, now, {}, {}, {}};
    if (ratio) next.then = now * *ratio;
    const auto pull = pulls.per_unit.find(learned.key);
    if (pull == pulls.per_unit.end()) return next;
    next.frequency_now = pull->second * now;
    if (ratio) next.frequency_then = *next.frequency_now * *ratio;
    return next;
}

/// Variance of the frequency that goes away; unknown scatter comes first, what does not move the frequency last.
double worth(const NextMeasurement& next) {
    if (!next.then) return 1e300;
    if (!next.frequency_now) return -1.0;
    return *next.frequency_now * *next.frequency_now - *next.frequency_then * *next.frequency_then;
}

}  // namespace

FrequencyPulls frequency_pulls(const std::vector<RecordEntry>& entries) {
    const Judge judge = find_judge(entries);
    FrequencyPulls out;
    if (judge.device == nullptr || judge.chip == nullptr) return out;
    out.judged_by = judge.device->chip + ", " + judge.device->device;
    const RecordedValue* shape = find_value(*judge.device, "outline.shape");
    const bool grows = shape != nullptr && shape->text == "hole-field";
    const double size = *number(*judge.device, "outline_size");
    if (const auto stress = number(*judge.chip, "film.stress"); stress && *stress > 0.0)
        out.per_unit["film.stress"] = 0.5 / *stress;
    const double bias = bias_pull(*judge.device, grows);
    if (bias > 0.0) out.per_unit["process.lithography_bias"] = out.per_unit["process.etch_bias"] = bias;
    const auto undercut = number(*judge.chip, "release.undercut"), rate = number(*judge.chip, "release.rate");
    if (grows && undercut && rate && *rate > 0.0) out.per_unit["release.rate"] = 2.0 * *undercut / (size * *rate);
    return out;
}

std::vector<NextMeasurement> next_measurements(const std::vector<Learned>& chosen,
                                               const std::vector<LearnedLine>& lines, const FrequencyPulls& pulls) {
    std::vector<NextMeasurement> all;
    for (std::size_t k = 0; k < chosen.size(); ++k) {
        const Learned& l = chosen[k];
        all.push_back(
            measurement(subject(l) + " on " + place(l, "one"), l, lines[k].deviation, narrowed(l, 1, 1.0), pulls));
        if (!l.pooled.scatter_known()) continue;
        all.push_back(measurement(subject(l) + " on the same chips, four times as many", l, lines[k].deviation,
                                  narrowed(l, 0, 4.0), pulls));
    }
    std::stable_sort(all.begin(), all.end(),
                     [](const NextMeasurement& a, const NextMeasurement& b) { return worth(a) > worth(b); });
    return all;
}

}  // namespace tymbal
