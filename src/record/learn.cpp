#include "tymbal/record/learn.h"

#include "advice.h"

#include "tymbal/base/error.h"
#include "tymbal/base/nearest.h"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <map>
#include <set>
#include <utility>

namespace tymbal {

namespace {

const std::vector<std::string> learnable{"process.lithography_bias", "process.etch_bias", "film.stress",
                                         "film.thickness",           "release.rate",      "release.film_rate"};

bool by_wafer(const std::string& key) {
    return key.rfind("film.", 0) == 0;
}
bool by_bath(const std::string& key) {
    return key.rfind("release.", 0) == 0;
}

/// The deviation that the last drawing with this key states: what its designer took for the scatter between chips.
double designed_scatter(const std::vector<RecordEntry>& entries, const std::string& key) {
    for (auto e = entries.rbegin(); e != entries.rend(); ++e)
        if (e->step == "drawn")
            if (const RecordedValue* found = find_value(*e, key);
                found != nullptr && found->deviation.value_or(0.0) > 0.0)
                return *found->deviation;
    return -1.0;
}

Learned pooled_group(const std::string& key, const std::string& group, const std::vector<Observation>& from,
                     double scatter) {
    Learned out{key, group, false, {}, from};
    out.pooled = pool(values_of(out), scatter);
    return out;
}

/// Of a bath or wafer that nobody has seen: the groups seen so far stand for chips, their chips for single values.
Learned of_groups(const std::string& key, const std::vector<Learned>& groups) {
    Learned out{key, "", true, {}, {}};
    for (const Learned& group : groups)
        for (const PooledValue& mean : chip_means(values_of(group)))
            out.from.push_back({key, "", group.group, "", mean.value, mean.deviation, 0});
    out.pooled = pool(values_of(out));
    return out;
}

std::vector<Learned> groups_of(const std::string& key, const std::vector<Observation>& all, double scatter) {
    std::map<std::string, std::vector<Observation>> by_group;
    for (const Observation& o : all)
        if (o.key == key) by_group[o.group].push_back(o);
    std::vector<Learned> groups;
    for (const auto& [name, from] : by_group) groups.push_back(pooled_group(key, name, from, scatter));
    return groups;
}

void require_group(const char* what, const std::string& wanted, const std::vector<Observation>& all,
                   bool (*belongs)(const std::string&)) {
    if (wanted.empty()) return;
    std::set<std::string> seen;
    for (const Observation& o : all)
        if (belongs(o.key) && !o.group.empty()) seen.insert(o.group);
    if (seen.count(wanted) > 0) return;
    const std::vector<std::string> names(seen.begin(), seen.end());
    std::string words = "the record has nothing of ";
    words.append(what).append(" '").append(wanted).append("'").append(suggestion(wanted, names));
    for (std::size_t k = 0; k < names.size(); ++k) words.append(k == 0 ? "; it has " : ", ").append(names[k]);
    throw NoAnswer(words);
}

std::string count(int number, const char* what) {
    return std::to_string(number).append(" ").append(what).append(number == 1 ? "" : "s");
}

/// What its pooled figures scatter between.
const char* unit_of(const Learned& l) {
    return !l.of_groups ? "chip" : by_wafer(l.key) ? "wafer" : "bath";
}

std::string basis(const Learned& l) {
    const Pooled& p = l.pooled;
    std::string text =
        count(p.values, l.of_groups ? "chip" : "value").append(" on ").append(count(p.chips, unit_of(l)));
    if (!l.of_groups && !l.group.empty()) text.append(by_wafer(l.key) ? " of wafer " : " of bath ").append(l.group);
    if (l.of_groups) text.append(", for another ").append(unit_of(l));
    if (p.degrees > 0 && p.degrees < 10 && p.scatter_known())
        text.append(", Student-t of ").append(std::to_string(p.degrees));
    if (p.degrees > 0 && p.scatter_known()) return text;
    if (p.scatter_known()) return text.append("; scatter between chips as the last drawing states it");
    return text.append("; scatter between ").append(unit_of(l)).append("s NOT in it");
}

bool is_stated(const Observation& o) {
    return o.deviation > 0.0;
}

void warn(Learning& out, const Learned& l) {
    const Pooled& p = l.pooled;
    const std::string name = l.key + (l.group.empty() ? "" : " (" + l.group + ")") + ": ";
    const std::string unit = unit_of(l);
    const auto say = [&](const char* code, const std::string& text) { out.warnings.push_back({code, name + text}); };
    if (p.degrees == 0 && !p.scatter_known())
        say("one-chip", "one " + unit + " says nothing about the scatter between " + unit + "s" +
                            (l.of_groups ? "" : ", and the drawing states none") +
                            "; the deviation is the measurement's alone");
    if (p.degrees > 0 && !p.scatter_known())
        say("no-scatter",
            "all values are the same and none states a deviation: no scatter is known, and the line has "
            "no deviation");
    if (p.degrees == 1 && p.scatter_known())
        say("two-chips", "from two the deviation holds 68 % of next " + unit +
                             "s, but two deviations only 83 %; a third helps most");
    const auto stated = std::count_if(l.from.begin(), l.from.end(), is_stated);
    if (stated > 0 && stated < std::ssize(l.from))
        say("no-deviation", count(static_cast<int>(std::ssize(l.from) - stated), "value") + " of " +
                                std::to_string(l.from.size()) +
                                " without a deviation: those stated stand for it; give each value its own");
}

void require_finite(const Learned& l) {
    if (std::isfinite(l.pooled.mean) && std::isfinite(l.pooled.next_std)) return;
    throw NoAnswer(l.key + " has values that are too large to be pooled; `tymbal record list` shows them");
}

/// The group of a key that the next chip belongs to.
Learned chosen_of(const std::string& key, const std::vector<Learned>& groups, const LearnChoice& choice) {
    const std::string wanted = by_wafer(key) ? choice.wafer : by_bath(key) ? choice.bath : "";
    for (const Learned& group : groups)
        if (!wanted.empty() && group.group == wanted) return group;
    return groups.size() == 1 && wanted.empty() ? groups.front() : of_groups(key, groups);
}

}  // namespace

Chips values_of(const Learned& learned) {
    std::map<std::string, std::vector<PooledValue>> chips;
    for (const Observation& o : learned.from) chips[o.chip].push_back({o.value, o.deviation, o.shared, o.source});
    Chips all;
    for (auto& chip : chips) all.push_back(std::move(chip.second));
    return all;
}

Learning learn(std::vector<RecordEntry> log, const LearnChoice& choice) {
    const std::vector<RecordEntry> entries = in_order_of_date(std::move(log));
    const Observations seen = observations(entries);
    if (seen.all.empty())
        throw NoAnswer(
            "the record teaches nothing yet: it has no printed or etched hole width, no undercut with its time, and no "
            "fitted stress; `tymbal record add` takes them");
    require_group("wafer", choice.wafer, seen.all, by_wafer);
    require_group("bath", choice.bath, seen.all, by_bath);
    Learning out;
    out.left_out = seen.left_out;
    std::vector<Learned> chosen;
    for (const std::string& key : learnable) {
        const std::vector<Learned> groups = groups_of(key, seen.all, designed_scatter(entries, key));
        if (groups.empty()) continue;
        out.learned.insert(out.learned.end(), groups.begin(), groups.end());
        chosen.push_back(chosen_of(key, groups, choice));
        if (chosen.back().of_groups) out.learned.push_back(chosen.back());
        require_finite(chosen.back());
        out.lines.push_back({key, chosen.back().pooled.mean, chosen.back().pooled.next_std, basis(chosen.back())});
        warn(out, chosen.back());
    }
    const FrequencyPulls pulls = frequency_pulls(entries);
    out.judged_by = pulls.judged_by;
    out.next = next_measurements(chosen, out.lines, pulls);
    return out;
}

}  // namespace tymbal
