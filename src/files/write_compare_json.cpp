#include "tymbal/files/write_compare.h"

#include "json_parts.h"

namespace tymbal {

namespace {

Json text(const std::optional<std::string>& value) {
    return value ? Json(*value) : Json(nullptr);
}

const char* kind_name(MeasuredKind kind) {
    switch (kind) {
        case MeasuredKind::peaks: return "peaks";
        case MeasuredKind::spectrum: return "spectrum";
        case MeasuredKind::ringdown: return "ringdown";
    }
    return "";
}

Json peak_json(const ComparedPeak& p) {
    const bool named = p.mode > 0;
    return {{"frequency_hz", number(p.peak.frequency_hz)},
            {"frequency_std_hz", p.peak.deviation_hz > 0.0 ? number(p.peak.deviation_hz) : Json(nullptr)},
            {"mode_index", named ? Json(p.mode) : Json(nullptr)},
            {"label", named ? Json(p.label) : Json(nullptr)},
            {"confidence", number(p.confidence)},
            {"fitted_hz", named ? number(p.fitted_hz) : Json(nullptr)},
            {"residual", named ? number(p.residual) : Json(nullptr)},
            {"quality", number(p.peak.quality)},
            {"quality_std", number(p.peak.quality_deviation)},
            {"quality_is_lower_bound", p.peak.resolution_limited},
            {"quality_budget_low", p.budget ? number(p.budget->low) : Json(nullptr)},
            {"quality_budget_high", p.budget ? number(p.budget->high) : Json(nullptr)},
            {"quality_limited_by", named ? Json(p.limited_by) : Json(nullptr)},
            {"remark", p.remark}};
}

Json device_json(const DeviceComparison& d) {
    const Conditions& c = d.measured.conditions;
    Json device{{"title", d.title},
                {"sha256", d.sha256},
                {"design", d.design_file},
                {"measured", d.measured.file},
                {"kind", kind_name(d.measured.kind)},
                {"certainty", number(d.certainty)},
                {"rival", number(d.rival)},
                {"conditions",
                 {{"date", text(c.date)},
                  {"mount", text(c.mount)},
                  {"spot", text(c.spot)},
                  {"pressure_pa", number(c.pressure_pa)},
                  {"temperature_k", number(c.temperature_k)},
                  {"light_w", number(c.power_w)}}},
                {"notes", d.measured.notes},
                {"peaks", Json::array()},
                {"unseen", Json::array()}};
    for (const ComparedPeak& p : d.peaks) device["peaks"].push_back(peak_json(p));
    for (const UnseenMode& m : d.unseen)
        device["unseen"].push_back(
            {{"mode_index", m.mode}, {"label", m.label}, {"expected_hz", number(m.expected_hz)}, {"reason", m.reason}});
    return device;
}

Json fit_json(const Comparison& c) {
    Json fit{{"chi_square", number(c.fit.chi_square)},
             {"freedom", number(c.fit.freedom)},
             {"scatter", number(c.fit.scatter)},
             {"group_std", number(c.group_deviation)},
             {"values", Json::array()},
             {"correlations", Json::array()}};
    for (const FittedValue& v : c.values)
        fit["values"].push_back({{"name", v.name},
                                 {"unit", v.unit},
                                 {"design", number(v.designed)},
                                 {"design_std", number(v.prior)},
                                 {"fitted", number(v.fitted)},
                                 {"fitted_std", number(v.deviation)}});
    for (std::size_t a = 0; a < c.fit.parameters.size(); ++a)
        for (std::size_t b = 0; b < a; ++b)
            fit["correlations"].push_back(
                {c.fit.parameters[b].name, c.fit.parameters[a].name, number(correlation(c.fit, a, b))});
    return fit;
}

}  // namespace

void write_json(std::ostream& out, const Comparison& c) {
    Json root = json_tool();
    root["devices"] = Json::array();
    for (const DeviceComparison& d : c.devices) root["devices"].push_back(device_json(d));
    if (c.values.empty())
        root["film"] = nullptr;
    else
        root["film"] = {{"stress_pa", number(c.values.front().fitted)},
                        {"stress_std_pa", number(c.values.front().deviation)},
                        {"stress_design_pa", number(c.values.front().designed)},
                        {"stress_other_inputs_as_designed_pa", number(c.stress_alone_pa)}};
    root["fit"] = c.values.empty() ? Json(nullptr) : fit_json(c);
    root["verdict"] = c.verdict;
    root["cannot_tell"] = c.cannot_tell;
    root["warnings"] = warnings_json(c.warnings);
    print(out, root);
}

}  // namespace tymbal
