#include "tymbal/print/write_json.h"

#include "../base/sha256.h"
#include "../text/csv.h"
#include "json_parts.h"
#include "json_results.h"
#include "light_words.h"

#include <sstream>

namespace tymbal {

namespace {

Json film_json(const EffectiveFilm& f) {
    return {{"fill_factor", number(f.fill_factor)},
            {"hole_count", f.hole_count},
            {"stress_as_deposited_pa", number(f.stress_as_deposited_pa)},
            {"stress_relaxed_mean_pa", number(f.stress_relaxed_mean_pa)},
            {"stress_peak_von_mises_pa", number(f.stress_peak_von_mises_pa)},
            {"stress_peak_error_pa", number(f.stress_peak_error_pa)},
            {"fracture_margin", number(f.fracture_margin)},
            {"tension_x_n_per_m", number(f.tension_x_n_per_m)},
            {"tension_y_n_per_m", number(f.tension_y_n_per_m)},
            {"areal_density_kg_per_m2", number(f.areal_density_kg_per_m2)},
            {"youngs_modulus_effective_pa", number(f.youngs_modulus_effective_pa)},
            {"poisson_ratio_effective", number(f.poisson_ratio_effective)},
            {"shear_modulus_effective_pa", number(f.shear_modulus_effective_pa)},
            {"bending_stiffness_n_m", number(f.bending_stiffness_n_m)},
            {"edge_layer_m", number(f.edge_layer_m)},
            {"stable", true},
            {"buckling_stress_pa", nullptr},
            {"mass_kg", number(f.mass_kg)},
            {"outline_area_m2", number(f.outline_area_m2)},
            {"static_stiffness_n_per_m", number(f.static_stiffness_n_per_m)},
            {"static_stiffness_error_n_per_m", number(f.static_stiffness_error_n_per_m)},
            {"deflection_per_pressure_m_per_pa", number(f.deflection_per_pressure_m_per_pa)},
            {"deflection_per_pressure_error_m_per_pa", number(f.deflection_per_pressure_error_m_per_pa)}};
}

void add_band(Json& into, const std::string& name, const std::optional<QualityBand>& band) {
    into[name] = band ? number(band->value) : Json(nullptr);
    if (!band || band->low == band->high) return;
    into[name + "_low"] = number(band->low);
    into[name + "_high"] = number(band->high);
}

Json quality_json(const LossBudget& losses) {
    Json quality;
    add_band(quality, "total", losses.total);
    quality["limited_by"] = losses.limited_by.empty() ? Json(nullptr) : Json(losses.limited_by);
    quality["dilution_factor"] = number(losses.dilution.factor);
    quality["dilution_factor_low"] = number(losses.dilution.low);
    quality["dilution_factor_high"] = number(losses.dilution.high);
    Json trust;
    for (const LossTerm& term : losses.terms) {
        add_band(quality, term.name, term.quality);
        trust[term.name] = to_string(term.trust);
    }
    quality["trust"] = trust;
    return quality;
}

Json released_json(const ReleasedFilm& r) {
    Json json{{"thickness_deposited_m", number(r.deposited_m)},
              {"thickness_m", number(r.thickness_m)},
              {"thickness_std_m", number(r.thickness_std_m)},
              {"width_m", number(r.width_m)},
              {"height_m", number(r.height_m)},
              {"set_free", r.set_free}};
    json["film_loss"] = film_loss_json(r.taken);
    json["field"] = field_json(r.field);
    return json;
}

Json contributions_json(const std::vector<Contribution>& contributions) {
    Json list = Json::array();
    for (const Contribution& c : contributions)
        list.push_back({{"input", c.input},
                        {"sensitivity", number(c.sensitivity)},
                        {"relative_std", number(c.relative_deviation)},
                        {"share_hz", number(c.share_hz)}});
    return list;
}

Json mode_json(const PredictedMode& p) {
    const Mode& m = p.mode;
    const ModeFigures& g = p.figures;
    Json mode{{"index", m.index},
              {"number", m.number},
              {"label", m.label},
              {"partner", m.partner > 0 ? Json(m.partner) : Json(nullptr)},
              {"frequency_hz", number(m.frequency_hz)},
              {"frequency_std_hz", number(stated(m.frequency_std_hz))},
              {"discretisation_error_hz", number(m.discretisation_error_hz)},
              {"effective_mass_kg", number(g.effective_mass_kg)},
              {"effective_mass_error_kg", number(g.effective_mass_error_kg)}};
    if (g.spot_overlap) {
        mode["effective_mass_at_spot_kg"] = number(g.effective_mass_at_spot_kg);
        mode["spot_overlap"] = number(g.spot_overlap);
    }
    mode["spring_constant_n_per_m"] = number(g.spring_constant_n_per_m);
    mode["zero_point_m"] = number(g.zero_point_m);
    mode["thermal_occupancy"] = number(g.thermal_occupancy);
    mode["quality"] = quality_json(p.losses);
    mode["linewidth_hz"] = number(g.linewidth_hz);
    mode["qf_hz"] = number(g.qf_hz);
    mode["qf_over_thermal"] = number(g.qf_over_thermal);
    mode["thermal_force_noise_n_per_rthz"] = number(g.thermal_force_noise_n_per_rthz);
    mode["single_photon_coupling_hz"] = number(g.single_photon_coupling_hz);
    mode["single_photon_cooperativity"] = number(g.single_photon_cooperativity);
    mode["character"] = m.character.empty() ? Json(nullptr) : Json(m.character);
    mode["bending_share"] = number(p.where.bending_share);
    mode["rim_share"] = number(p.where.rim_share);
    mode["antinode_m"] = {number(p.where.antinode.x), number(p.where.antinode.y)};
    mode["share_within"] = p.where.share_within ? number(*p.where.share_within) : Json(nullptr);
    mode["contributions"] = contributions_json(m.contributions);
    return mode;
}

template <class Q>
void add_value(Json& into, const char* key, const std::optional<Sourced<Q>>& value) {
    if (!value) return;
    into[key] = {{"value", value->si()},
                 {"std", value->deviation_si()},
                 {"source", value->source().citation},
                 {"obtained", to_string(value->source().origin)}};
}

Json solid_json(const Solid& s) {
    Json row{{"title", s.title}};
    add_value(row, "youngs_modulus_pa", s.youngs_modulus);
    add_value(row, "poisson_ratio", s.poisson_ratio);
    add_value(row, "density_kg_per_m3", s.density);
    add_value(row, "film_stress_pa", s.film_stress);
    add_value(row, "thermal_expansion_per_k", s.thermal_expansion);
    add_value(row, "thermal_conductivity_w_per_m_k", s.thermal_conductivity);
    add_value(row, "heat_capacity_j_per_kg_k", s.heat_capacity);
    add_value(row, "strength_pa", s.strength);
    add_value(row, "quality_volume", s.quality_volume);
    add_value(row, "quality_surface_per_m", s.quality_surface);
    add_value(row, "extinction", s.extinction);
    return row;
}

}  // namespace

Json prediction_json(const Prediction& p) {
    Json root = json_head(p.title, p.sha256);
    root["model"] = p.model;
    root["model_reason"] = p.model_reason;
    root["film"] = film_json(p.film);
    root["released"] = released_json(p.released);
    root["modes"] = Json::array();
    for (const PredictedMode& m : p.modes) root["modes"].push_back(mode_json(m));
    root["slab"] = p.slab ? slab_json(*p.slab) : Json(nullptr);
    root["limits"] = limits_json(p.limits);
    root["sources"] = sources_json(p.sources);
    root["warnings"] = warnings_json(p.warnings);
    return root;
}

Json prediction_json(const UnstablePrediction& p) {
    Json root = json_head(p.title, p.sha256);
    root["film"] = {{"stress_as_deposited_pa", number(p.stress_as_deposited_pa)},
                    {"stable", false},
                    {"buckling_stress_pa", number(p.buckling_stress_pa)},
                    {"buckling_stress_error_pa", number(p.buckling_stress_error_pa)}};
    root["modes"] = Json::array();
    root["warnings"] = warnings_json({{"unstable", p.why}});
    return root;
}

void write_json(std::ostream& out, const Prediction& p) {
    print(out, prediction_json(p));
}

void write_json(std::ostream& out, const UnstablePrediction& p) {
    print(out, prediction_json(p));
}

void write_json(std::ostream& out, const Materials& materials, const std::string& row) {
    Json root;
    for (const auto& [name, solid] : materials.solids)
        if (row.empty() || row == name) root[name] = solid_json(solid);
    for (const auto& [name, gas] : materials.gases) {
        if (!row.empty() && row != name) continue;
        Json entry{{"title", gas.title}};
        add_value(entry, "molar_mass_kg_per_mol", std::optional<Sourced<MolarMass>>(gas.molar_mass));
        add_value(entry, "viscosity_pa_s", std::optional<Sourced<Viscosity>>(gas.viscosity));
        root[name] = entry;
    }
    for (const auto& [name, etchant] : materials.etchants) {
        if (!row.empty() && row != name) continue;
        Json rates = Json::object();
        for (const auto& [material, rate] : etchant.rates)
            add_value(rates, material.c_str(), std::optional<Sourced<Speed>>(rate));
        root[name] = {{"title", etchant.title}, {"hazard", etchant.hazard}, {"rates_m_per_s", rates}};
    }
    for (const auto& [name, liquid] : materials.liquids) {
        if (!row.empty() && row != name) continue;
        Json entry{{"title", liquid.title}, {"hazard", liquid.hazard}};
        add_value(entry, "surface_tension_n_per_m", std::optional<Sourced<Tension>>(liquid.surface_tension));
        add_value(entry, "adhesion_j_per_m2", liquid.adhesion);
        root[name] = entry;
    }
    print(out, root);
}

std::string fingerprint(const Materials& materials) {
    std::ostringstream text;
    write_json(text, materials, "");
    return sha256_hex(text.str());
}

}  // namespace tymbal
