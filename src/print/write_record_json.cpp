#include "json_parts.h"

#include "tymbal/print/write_record.h"

#include <algorithm>

namespace tymbal {

namespace {

Json text_or_null(const std::string& text) {
    return text.empty() ? Json(nullptr) : Json(text);
}

Json entry_json(const RecordEntry& e) {
    Json values = Json::array(), files = Json::array();
    for (const RecordedValue& v : e.values)
        values.push_back({{"key", v.key},
                          {"text", v.text},
                          {"value", number(v.value)},
                          {"std", number(v.deviation)},
                          {"unit", text_or_null(v.unit)}});
    for (const RecordedFile& f : e.files)
        files.push_back({{"role", f.role}, {"path", f.path}, {"sha256", f.sha256}, {"size_bytes", f.size}});
    return {{"number", e.number},
            {"step", e.step},
            {"device", text_or_null(e.device)},
            {"date", e.date},
            {"recorded", e.recorded},
            {"by", text_or_null(e.by)},
            {"note", text_or_null(e.note)},
            {"corrects", e.corrects ? Json(*e.corrects) : Json(nullptr)},
            {"values", values},
            {"files", files},
            {"sha256", e.sha256}};
}

Json chip_json(const RecordedChip& chip) {
    Json devices = Json::array();
    for (const RecordedDevice& d : chip.devices)
        devices.push_back({{"name", d.name}, {"position_m", {d.x_m, d.y_m}}, {"design", d.design}});
    return {
        {"name", chip.name}, {"title", chip.title}, {"file", chip.file}, {"sha256", chip.sha256}, {"devices", devices}};
}

Json with_entries(const RecordedChip& chip, const std::vector<RecordEntry>& entries) {
    Json out = chip_json(chip);
    out["entries"] = Json::array();
    for (const RecordEntry& e : entries)
        if (e.chip == chip.name) out["entries"].push_back(entry_json(e));
    return out;
}

Json measurement_json(const NextMeasurement& n) {
    return {{"what", n.what},
            {"key", n.key},
            {"std_now", number(n.now)},
            {"std_then", number(n.then)},
            {"relative_frequency_std_now", number(n.frequency_now)},
            {"relative_frequency_std_then", number(n.frequency_then)}};
}

Json learned_json(const Learned& l) {
    Json from = Json::array();
    for (const Observation& o : l.from)
        from.push_back({{"chip", o.chip},
                        {"device", text_or_null(o.device)},
                        {"entry", o.entry > 0 ? Json(o.entry) : Json(nullptr)},
                        {"value", number(o.value)},
                        {"std", o.deviation > 0.0 ? number(o.deviation) : Json(nullptr)}});
    const Pooled& p = l.pooled;
    return {{"key", l.key},
            {"group", text_or_null(l.group)},
            {"of_groups", l.of_groups},
            {"mean", number(p.mean)},
            {"mean_std", number(p.mean_std)},
            {"next_std", number(p.next_std)},
            {"between_std", p.scatter_known() ? number(p.between) : Json(nullptr)},
            {"within_std", number(p.within)},
            {"chips", p.chips},
            {"values", p.values},
            {"degrees_of_freedom", p.degrees},
            {"scatter_as_designed", p.scatter_given},
            {"from", from}};
}

}  // namespace

void write_chip_json(std::ostream& out, const RecordContents& record, const std::string& chip) {
    Json root = json_tool();
    root["record"] = {{"version", record.version}};
    for (const RecordedChip& c : record.chips)
        if (c.name == chip) root["chip"] = with_entries(c, record.entries);
    print(out, root);
}

void write_list_json(std::ostream& out, const RecordContents& record) {
    Json root = json_tool();
    root["record"] = {{"version", record.version}};
    root["chips"] = Json::array();
    std::map<std::string, std::size_t> place;
    for (const RecordedChip& c : record.chips) {
        place[c.name] = root["chips"].size();
        root["chips"].push_back(with_entries(c, {}));
    }
    for (const RecordEntry& e : record.entries) root["chips"][place[e.chip]]["entries"].push_back(entry_json(e));
    print(out, root);
}

void write_check_json(std::ostream& out, const std::string& path, const std::vector<RecordFinding>& found) {
    Json root = json_tool();
    root["record"] = {{"file", path}};
    root["sound"] = std::none_of(found.begin(), found.end(), [](const RecordFinding& f) { return f.fault; });
    root["findings"] = Json::array();
    for (const RecordFinding& f : found)
        root["findings"].push_back(
            {{"kind", f.fault ? "fault" : "gap"}, {"chip", text_or_null(f.chip)}, {"text", f.text}});
    print(out, root);
}

void write_learning_json(std::ostream& out, const Learning& l) {
    Json root = json_tool();
    root["learned"] = Json::array();
    for (const Learned& one : l.learned) root["learned"].push_back(learned_json(one));
    root["lines"] = Json::array();
    for (const LearnedLine& line : l.lines)
        root["lines"].push_back(
            {{"key", line.key}, {"value", number(line.value)}, {"std", number(line.deviation)}, {"basis", line.basis}});
    root["next"] = Json::array();
    for (const NextMeasurement& n : l.next) root["next"].push_back(measurement_json(n));
    root["judged_by"] = text_or_null(l.judged_by);
    root["left_out"] = Json::array();
    for (const LeftOut& o : l.left_out) root["left_out"].push_back({{"entry", o.entry}, {"why", o.why}});
    root["warnings"] = warnings_json(l.warnings);
    print(out, root);
}

}  // namespace tymbal
