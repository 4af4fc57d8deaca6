#include "tymbal/print/write_compare.h"

#include "json_parts.h"

#include <algorithm>

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

Json gas_json(const std::optional<MeasuredGas>& gas) {
    if (!gas) return nullptr;
    Json sweep = Json::array();
    for (std::size_t k = 0; k < gas->sweep_pa.size(); ++k)
        sweep.push_back({{"pressure_pa", number(gas->sweep_pa[k])}, {"quality_if_gas", number(gas->sweep_quality[k])}});
    return {{"label", gas->label},
            {"pressure_pa", number(gas->pressure_pa)},
            {"quality", number(gas->measured)},
            {"quality_gas_alone", number(gas->alone.value)},
            {"quality_gas_alone_low", number(gas->alone.low)},
            {"quality_gas_alone_high", number(gas->alone.high)},
            {"share", number(gas->share.value)},
            {"share_low", number(gas->share.low)},
            {"share_high", number(gas->share.high)},
            {"explains_alone", gas->share.high >= 1.0},
            {"quiet_below_pa", number(gas->quiet_pa)},
            {"sweep", sweep}};
}

Json device_json(const DeviceComparison& d) {
    const Conditions& c = d.measured.conditions;
    Json device{
        {"name", d.name.empty() ? Json(nullptr) : Json(d.name)},
        {"title", d.title},
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
        {"gas", gas_json(d.gas)},
        {"split",
         d.split ? Json{{"stress", number(d.split->stress)}, {"std", number(d.split->deviation)}} : Json(nullptr)},
        {"against_others",
         d.apart ? Json{{"value", number(d.apart->value)}, {"std", number(d.apart->deviation)}} : Json(nullptr)},
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
                                 {"device", v.device ? Json(*v.device + 1) : Json(nullptr)},
                                 {"unit", v.unit},
                                 {"design", number(v.designed)},
                                 {"design_std", number(v.prior)},
                                 {"fitted", number(v.fitted)},
                                 {"fitted_std", number(v.deviation)}});
    for (std::size_t a = 0; a < c.fit.parameters.size(); ++a)
        for (std::size_t b = 0; b < a; ++b)
            fit["correlations"].push_back(
                {full_name(c.fit.parameters[b]), full_name(c.fit.parameters[a]), number(correlation(c.fit, a, b))});
    const auto repeat = [&](const char* name, const char* key, const char* std_key) {
        const auto at = std::find_if(c.values.begin(), c.values.end(),
                                     [&](const FittedValue& v) { return v.name == name && v.device.value_or(0) == 0; });
        fit[key] = at == c.values.end() ? Json(nullptr) : number(at->fitted);
        fit[std_key] = at == c.values.end() ? Json(nullptr) : number(at->deviation);
    };
    repeat("film.stress", "stress_pa", "stress_std_pa");
    repeat("release.undercut", "undercut_m", "undercut_std_m");
    return fit;
}

Json ringdown_json(const ComparedRingdown& ringdown) {
    const Ringdown& r = ringdown.decay;
    return {{"amplitude_time_s", number(r.amplitude_time_s())},
            {"energy_time_s", number(r.energy_time_s())},
            {"decay_db_per_s", number(r.decay_db_per_s())},
            {"linewidth_hz", number(r.linewidth_hz())},
            {"quality", number(r.quality)},
            {"quality_std", number(r.quality_deviation)},
            {"qf_hz", number(r.quality * ringdown.frequency_hz)},
            {"qf_std_hz", number(r.quality_deviation * ringdown.frequency_hz)},
            {"amplitude_m", number(ringdown.amplitude_m)},
            {"drive_ceiling_m", number(ringdown.ceiling_m)}};
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
    root["ringdown"] = c.ringdown ? ringdown_json(*c.ringdown) : Json(nullptr);
    root["verdict"] = c.verdict;
    root["cannot_tell"] = c.cannot_tell;
    root["warnings"] = warnings_json(c.warnings);
    print(out, root);
}

}  // namespace tymbal
