#include "tymbal/print/write_choice.h"

#include "tymbal/quality/budget.h"
#include "tymbal/read/design_keys.h"

#include "../read/design_lines.h"
#include "../text/csv.h"
#include "../text/figures.h"
#include "json_parts.h"

#include <algorithm>
#include <functional>

namespace tymbal {

namespace {

constexpr std::size_t most_shown = 12;  // of the Pareto set, on a terminal

/// A figure or a limit by its name; Q f is in hertz without prefix, as everywhere.
std::string figure_text(const std::string& name, double value, const std::string& unit) {
    if (name == "Q f") return rough(value).append(" Hz");
    if (name == "C0") return rough(value);
    if (name == "limits.least_qf") return plain(value).append(" Hz");
    return unit == "1" || unit.empty() ? plain(value) : with_prefix(value, unit.c_str(), 4);
}

/// Four digits to look at; --csv and the lines for the design have all.
std::string key_text(const std::string& key, double si) {
    const std::optional<Kind> kind = changeable_key(key).kind;
    return kind && *kind != Kind::ratio ? with_unit(si, si_unit(*kind)) : value_text({key, si});
}

std::string change_text(const Change& change) {
    const double* si = std::get_if<double>(&change.value);
    return si != nullptr ? key_text(change.key, *si) : value_text(change);
}

std::string percent(double share, int digits = 2) {
    return plain(100.0 * share, digits) + " %";
}

void write_limits(std::ostream& out, const Choice& c) {
    out << "\nLIMITS  (" << c.solved << " designs tried, " << c.failed << " of them without an answer)\n";
    for (std::size_t k = 0; k < c.limits.size(); ++k)
        out << "  " << left(c.limits[k].key, 32)
            << left(figure_text(c.limits[k].key, c.limits[k].limit, c.limits[k].unit), 14) << "broken by "
            << c.broken[k] << '\n';
    if (c.limits.empty()) out << "  none: [limits] is empty\n";
}

void write_ranges(std::ostream& out, const Choice& c) {
    out << "\nFEASIBLE  (" << c.feasible << " designs; smallest and largest value among them, each alone)\n";
    for (const FeasibleRange& r : c.ranges) {
        const auto text = [&](double value) {
            return r.unit.empty() ? key_text(r.name, value) : figure_text(r.name, value, r.unit);
        };
        out << "  " << left(r.name, 24) << in_column(text(r.low), 14) << " ... " << text(r.high) << '\n';
    }
}

/// Evenly spread over the set, the first and the last among them.
std::vector<std::size_t> shown_places(std::size_t count) {
    std::vector<std::size_t> places;
    const std::size_t shown = std::min(count, most_shown);
    for (std::size_t k = 0; k < shown; ++k) places.push_back(shown < 2 ? 0 : k * (count - 1) / (shown - 1));
    return places;
}

std::string short_key(const std::string& key) {
    return key.substr(key.find('.') + 1).substr(0, 10);
}

bool is_free(const Choice& c, const std::string& key) {
    return std::any_of(c.free.begin(), c.free.end(), [&](const FreeKey& f) { return f.key == key; });
}

struct TradeColumn {
    std::string title;
    std::size_t width;
    std::function<std::string(const Candidate&)> text;
};

TradeColumn column_of(Aim aim) {
    switch (aim) {
        case Aim::g0:
            return {"g0/2pi", 9, [](const Candidate& d) {
                        const auto& g0 = d.mode().single_photon_coupling_hz;
                        return g0 ? with_prefix(*g0, "Hz", 3) : "-";
                    }};
        case Aim::cooperativity:
            return {"C0", 8, [](const Candidate& d) {
                        const auto& c0 = d.mode().single_photon_cooperativity;
                        return c0 ? rough(*c0) : "-";
                    }};
        case Aim::qf: break;
    }
    return {"Q f", 8, [](const Candidate& d) { return rough(d.mode().qf_hz); }};
}

/// The free keys, then figures: the one aimed at first, those that matter least last.
std::vector<TradeColumn> trade_columns(const Choice& c) {
    std::vector<TradeColumn> columns;
    for (std::size_t k = 0; k < c.recommended.changes.size(); ++k)
        if (const std::string& key = c.recommended.changes[k].key; is_free(c, key))
            columns.push_back({short_key(key), 11, [k](const Candidate& d) { return change_text(d.changes[k]); }});
    const bool aimed = c.target_hz.has_value(), coupled = c.recommended.mode().single_photon_cooperativity.has_value();
    columns.push_back({"f off", 9, [aimed](const Candidate& d) { return aimed ? percent(d.frequency_error) : "-"; }});
    if (c.aim != Aim::qf) columns.push_back(column_of(c.aim));
    columns.push_back(column_of(Aim::qf));
    columns.push_back({"margin", 7, [](const Candidate& d) { return plain(d.figures->fracture_margin); }});
    columns.push_back({"R %", 6, [](const Candidate& d) {
                           const auto& r = d.figures->reflectivity;
                           return r ? plain(100.0 * *r) : "-";
                       }});
    for (const Aim aim : {Aim::g0, Aim::cooperativity})
        if (coupled && c.aim != aim) columns.push_back(column_of(aim));
    columns.push_back({"chance", 8, [](const Candidate& d) { return d.chance ? percent(*d.chance) : "-"; }});
    return columns;
}

void write_best(std::ostream& out, const Choice& c) {
    const std::vector<std::size_t> places = shown_places(c.best.size());
    out << "\nTRADE-OFFS  (none beats another in everything; " << places.size() << " of " << c.best.size()
        << (places.size() < c.best.size() ? ", --csv writes all" : "") << ")\n";
    std::vector<TradeColumn> columns = trade_columns(c);
    std::size_t width = 0;
    for (const TradeColumn& column : columns) width += column.width;
    std::string left_out;
    for (; width > page_width(out); columns.pop_back()) {
        width -= columns.back().width;
        left_out.insert(0, left_out.empty() ? "" : ", ").insert(0, columns.back().title);
    }
    for (const TradeColumn& column : columns) out << in_column(column.title, column.width);
    out << '\n';
    for (const std::size_t k : places) {
        for (const TradeColumn& column : columns) out << in_column(column.text(c.best[k]), column.width);
        out << '\n';
    }
    if (!left_out.empty())
        out << "  not shown for want of width: " << wrapped(out, left_out + "; --csv has all", 31, 4) << '\n';
    out << "  f off: from the target; margin: strength over largest stress; R: reflectivity;\n"
           "  chance: to meet the window, all stated deviations counted\n";
}

void write_recommended(std::ostream& out, const Choice& c) {
    const Candidate& r = c.recommended;
    const ModeFigure& m = r.mode();
    out << "\nRECOMMENDED\n  " << wrapped(out, c.reason, 2, 2) << "\n" << design_lines(c.lines, "  ");
    const std::string inputs = stated(m.frequency_std_hz) ? "+- " + with_prefix(m.frequency_std_hz, "Hz", 2) : "-";
    const std::string frequency = m.label + " " + with_prefix(m.frequency_hz, "Hz", 6) + " " + inputs +
                                  " (inputs) +- " + with_prefix(m.discretisation_error_hz, "Hz", 2) + " (grid error)";
    out << "  " << left("frequency", 24) << wrapped(out, frequency, 26, 26) << '\n';
    out << "  " << left("Q f", 24) << rough(m.qf_hz) << " Hz; Q " << rough(m.quality.low) << "..."
        << rough(m.quality.high) << ", set by " << heading(m.limited_by) << '\n';
    if (m.single_photon_coupling_hz && m.single_photon_cooperativity)
        out << "  " << left("g0/2pi", 24) << figure_text("g0/2pi", *m.single_photon_coupling_hz, "Hz") << "; C0 "
            << rough(*m.single_photon_cooperativity) << '\n';
    out << "  " << left("fracture margin", 24) << plain(r.figures->fracture_margin) << '\n';
    if (r.figures->ligament_m) out << "  " << left("ligament", 24) << with_prefix(*r.figures->ligament_m, "m") << '\n';
    if (r.chance) out << "  " << left("chance to meet window", 24) << percent(*r.chance, 3) << '\n';
}

/// As target.aim has it.
const char* word_of(Aim aim) {
    return aim == Aim::g0 ? "g0" : aim == Aim::cooperativity ? "cooperativity" : "qf";
}

std::string gain_text(const Choice& c, const Candidate& eased) {
    if (!eased.feasible) return "nothing";
    const double was = c.recommended.chance.value_or(1.0), becomes = eased.chance.value_or(1.0);
    if (c.robust || was < c.least_chance) return "chance " + percent(was, 3) + " -> " + percent(becomes, 3);
    const double from = figure_aimed_at(c.aim, c.recommended.mode()).value_or(0.0),
                 to = figure_aimed_at(c.aim, eased.mode()).value_or(0.0), gain = to / from - 1.0;
    const std::string name = column_of(c.aim).title;
    return name + " " + (c.aim == Aim::g0 ? figure_text(name, from, "Hz") : rough(from)) + " -> " +
           figure_text(name, to, "Hz") + " (" + (gain > 0.0 ? "+" : "") + percent(gain) + ")";
}

void write_relaxations(std::ostream& out, const Choice& c) {
    if (c.relaxations.empty()) return;
    out << "\nWHAT A BINDING LIMIT COSTS  (each eased alone, the search repeated)\n";
    for (const Relaxation& r : c.relaxations)
        out << "  " << left(r.key, 30)
            << wrapped(out,
                       figure_text(r.key, r.from, r.unit) + " -> " + figure_text(r.key, r.to, r.unit) + ": " +
                           gain_text(c, r.best),
                       32, 34)
            << '\n';
}

Json candidate_json(const Choice& c, const Candidate& d) {
    const DesignFigures& f = *d.figures;
    const ModeFigure& m = d.mode();
    return {{"changes", changes_json(d.changes)},
            {"label", m.label},
            {"frequency_hz", number(m.frequency_hz)},
            {"frequency_std_hz", number(stated(m.frequency_std_hz))},
            {"discretisation_error_hz", number(m.discretisation_error_hz)},
            {"frequency_error", c.target_hz ? number(d.frequency_error) : Json(nullptr)},
            {"chance", number(d.chance)},
            {"qf_hz", number(m.qf_hz)},
            {"single_photon_coupling_hz", number(m.single_photon_coupling_hz)},
            {"single_photon_cooperativity", number(m.single_photon_cooperativity)},
            {"quality", number(m.quality.value)},
            {"quality_low", number(m.quality.low)},
            {"quality_high", number(m.quality.high)},
            {"limited_by", m.limited_by},
            {"rough", m.rough},
            {"fracture_margin", number(f.fracture_margin)},
            {"ligament_m", number(f.ligament_m)},
            {"fill_factor", number(f.fill_factor)},
            {"reflectivity", number(f.reflectivity)},
            {"chance_to_reflect", number(f.chance_to_reflect)},
            {"release_time_s", number(f.release.release_time_s)}};
}

}  // namespace

void write_table(std::ostream& out, const Choice& c) {
    out << (c.title.empty() ? std::string("(no title)") : c.title) << '\n';
    if (c.target_hz) out << "target " << with_prefix(*c.target_hz, "Hz", 6);
    if (c.window_hz)
        out << (c.target_hz ? ", window " : "window ") << with_prefix((*c.window_hz)[0], "Hz", 6) << " to "
            << with_prefix((*c.window_hz)[1], "Hz", 6);
    if (c.window_hz) out << '\n';
    if (c.aim != Aim::qf && !c.robust) out << "aim: the largest " << column_of(c.aim).title << '\n';
    write_limits(out, c);
    write_ranges(out, c);
    write_best(out, c);
    write_recommended(out, c);
    write_relaxations(out, c);
    if (!c.notes.empty()) out << "\nNOTES\n";
    for (const std::string& note : c.notes) out << "  " << wrapped(out, "! " + note, 2, 4) << '\n';
}

void write_json(std::ostream& out, const Choice& c) {
    Json root = json_head(c.title, c.sha256);
    root["target_hz"] = number(c.target_hz);
    root["window_hz"] =
        c.window_hz ? Json::array({number((*c.window_hz)[0]), number((*c.window_hz)[1])}) : Json(nullptr);
    root["aim"] = word_of(c.aim);
    root["robust"] = c.robust;
    root["least_chance"] = number(c.least_chance);
    root["solved"] = c.solved;
    root["failed"] = c.failed;
    root["feasible"] = {{"count", c.feasible}, {"likely", c.likely}, {"ranges", Json::array()}};
    for (const FeasibleRange& r : c.ranges)
        root["feasible"]["ranges"].push_back({{"name", r.name}, {"low", number(r.low)}, {"high", number(r.high)}});
    root["limits"] = Json::array();
    for (std::size_t k = 0; k < c.limits.size(); ++k)
        root["limits"].push_back({{"key", c.limits[k].key},
                                  {"limit", number(c.limits[k].limit)},
                                  {"unit", c.limits[k].unit},
                                  {"broken_by", c.broken[k]},
                                  {"margin", number(c.recommended.margins[k])}});
    root["recommended"] = candidate_json(c, c.recommended);
    root["lines"] = changes_json(c.lines);
    root["reason"] = c.reason;
    root["best"] = Json::array();
    for (const Candidate& d : c.best) root["best"].push_back(candidate_json(c, d));
    root["relaxations"] = Json::array();
    for (const Relaxation& r : c.relaxations)
        root["relaxations"].push_back({{"key", r.key},
                                       {"from", number(r.from)},
                                       {"to", number(r.to)},
                                       {"unit", r.unit},
                                       {"best", r.best.feasible ? candidate_json(c, r.best) : Json(nullptr)}});
    root["notes"] = c.notes;
    print(out, root);
}

void write_csv(std::ostream& out, const Choice& c) {
    for (const Change& change : c.recommended.changes) out << change.key << ',';
    out << "label,frequency_hz,frequency_std_hz,discretisation_error_hz,frequency_error,chance,qf_hz,quality,quality_"
           "low,"
           "quality_high,limited_by,fracture_margin,ligament_m,fill_factor,reflectivity,release_time_s,"
           "single_photon_coupling_hz,single_photon_cooperativity\n";
    for (const Candidate& d : c.best) {
        for (const Change& change : d.changes) {
            const double* si = std::get_if<double>(&change.value);
            out << (si != nullptr ? csv(*si) : csv_text(std::get<std::string>(change.value))) << ',';
        }
        const DesignFigures& f = *d.figures;
        const ModeFigure& m = d.mode();
        out << csv_text(m.label) << ',' << csv(m.frequency_hz) << ',' << csv(stated(m.frequency_std_hz)) << ','
            << csv(m.discretisation_error_hz) << ',' << (c.target_hz ? csv(d.frequency_error) : "") << ','
            << csv(d.chance) << ',' << csv(m.qf_hz) << ',' << csv(m.quality.value) << ',' << csv(m.quality.low) << ','
            << csv(m.quality.high) << ',' << m.limited_by << ',' << csv(f.fracture_margin) << ',' << csv(f.ligament_m)
            << ',' << csv(f.fill_factor) << ',' << csv(f.reflectivity) << ',' << csv(f.release.release_time_s) << ','
            << csv(m.single_photon_coupling_hz) << ',' << csv(m.single_photon_cooperativity) << '\n';
    }
}

}  // namespace tymbal
