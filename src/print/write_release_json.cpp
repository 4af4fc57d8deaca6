#include "tymbal/print/write_release.h"

#include "json_results.h"

namespace tymbal {

namespace {

Json front_json(const FrontReport& f) {
    Json pillars = Json::array();
    for (const Pillar& p : f.pillars)
        pillars.push_back({{"x_m", p.centre.x}, {"y_m", p.centre.y}, {"area_m2", p.area_m2}, {"width_m", p.width_m}});
    const auto known = [&](double value) { return f.regions > 0 ? number(value) : Json(nullptr); };
    return {{"undercut_m", f.undercut ? number(f.undercut->si()) : Json(nullptr)},
            {"undercut_std_m", f.undercut ? number(f.undercut->deviation_si()) : Json(nullptr)},
            {"merges_at_m", number(f.merges_at_m)},
            {"clears_at_m", f.last_oxide ? number(f.clears_at_m) : Json(nullptr)},
            {"last_oxide_m", f.last_oxide ? Json{f.last_oxide->x, f.last_oxide->y} : Json(nullptr)},
            {"regions", f.regions > 0 ? Json(f.regions) : Json(nullptr)},
            {"pillars", pillars},
            {"released_area_m2", known(f.area_m2)},
            {"released_width_m", known(f.width_m)},
            {"released_height_m", known(f.height_m)},
            {"field_width_m", number(f.field_width_m)},
            {"field_height_m", number(f.field_height_m)},
            {"rim_missed_by_m", number(f.rim_short_m)}};
}

Json etch_json(const EtchReport& e) {
    Json ends = Json::array();
    for (const WindowEnd& end : e.ends)
        ends.push_back({{"limit", end.limit}, {"time_s", number(end.time_s)}, {"early_s", number(end.early_s)}});
    const auto named = [](const std::string& row) { return row.empty() ? Json(nullptr) : Json(row); };
    Json json{{"etchant", named(e.etchant)},
              {"sacrificial", named(e.sacrificial)},
              {"rate_m_per_s", number(e.rate.si())},
              {"rate_std_m_per_s", number(e.rate.deviation_si())},
              {"film_rate_m_per_s", e.film_rate ? number(e.film_rate->si()) : Json(nullptr)},
              {"film_rate_std_m_per_s", e.film_rate ? number(e.film_rate->deviation_si()) : Json(nullptr)},
              {"time_s", e.time_s > 0.0 ? number(e.time_s) : Json(nullptr)},
              {"time_std_s", e.time_s > 0.0 ? number(e.time_deviation_s) : Json(nullptr)},
              {"window_opens_s", e.clear_s > 0.0 ? number(e.clear_s) : Json(nullptr)},
              {"window_opens_late_s", e.clear_s > 0.0 ? number(e.clear_late_s) : Json(nullptr)},
              {"window_closes", ends}};
    json["film_loss"] = film_loss_json(e.loss);
    json["thickness"] = {{"deposited_m", number(e.deposited_m)},
                         {"mean_m", number(e.mean_m)},
                         {"at_holes_m", e.loss ? number(e.at_holes_m) : Json(nullptr)},
                         {"at_rim_m", e.loss ? number(e.at_rim_m) : Json(nullptr)}};
    return json;
}

Json film_json(const FreeFilmReport& f) {
    return {{"lowest_frequency_hz", number(f.frequency_hz)},
            {"grid_error_relative", number(f.frequency_error)},
            {"relative_shift_per_undercut_per_m", number(f.shift_per_undercut_per_m)},
            {"stress_peak_von_mises_pa", number(f.stress_peak_pa)},
            {"stress_peak_error_pa", number(f.stress_peak_error_pa)},
            {"fracture_margin", number(f.fracture_margin)},
            {"fracture_margin_std", number(f.fracture_margin_deviation)},
            {"critical_surface_tension_n_per_m", number(f.critical_tension_local)},
            {"critical_surface_tension_connected_n_per_m", number(f.critical_tension_connected)},
            {"collapse_deflection_m", number(f.collapse_deflection_m)},
            {"releasing_adhesion_j_per_m2", number(f.releasing_adhesion_j_per_m2)}};
}

}  // namespace

Json release_json(const ReleaseReport& r) {
    Json root = json_head(r.title, r.sha256);
    root["holes"] = r.holes ? hole_sizes_json(*r.holes) : Json(nullptr);
    if (r.holes) root["holes"]["ligament_m"] = number(r.ligament_m);
    root["field"] = field_json(r.field);
    root["front"] = r.front ? front_json(*r.front) : Json(nullptr);
    root["etch"] = r.etch ? etch_json(*r.etch) : Json(nullptr);
    root["etchants"] = Json::array();
    for (const AcidRow& a : r.acids)
        root["etchants"].push_back({{"row", a.row},
                                    {"hazard", a.hazard},
                                    {"time_s", number(a.time_s)},
                                    {"selectivity", number(a.selectivity)},
                                    {"film_loss_per_face_m", number(a.loss_per_face_m)}});
    root["film"] = r.film ? film_json(*r.film) : Json(nullptr);
    root["drying"] = Json::array();
    for (const DryingRow& d : r.drying)
        root["drying"].push_back(
            {{"row", d.row},
             {"chosen", d.row == r.chosen_drying},
             {"surface_tension_n_per_m", number(d.surface_tension_n_per_m)},
             {"collapse_margin", number(d.margin)},
             {"collapse_margin_std", d.margin ? number(d.margin_deviation) : Json(nullptr)},
             {"adhesion_margin", number(d.adhesion_margin)},
             {"adhesion_margin_std", d.adhesion_margin ? number(d.adhesion_deviation) : Json(nullptr)}});
    root["limits"] = limits_json(r.limits);
    root["sources"] = sources_json(r.sources);
    root["warnings"] = warnings_json(r.warnings);
    root["cautions"] = release_cautions(r);
    return root;
}

void write_json(std::ostream& out, const ReleaseReport& r) {
    print(out, release_json(r));
}

}  // namespace tymbal
