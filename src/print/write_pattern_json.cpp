#include "tymbal/print/write_pattern.h"

#include "pattern_json.h"

namespace tymbal {

namespace {

Json point_json(DrawnPoint p) {
    return {p.x * drawn_unit_m, p.y * drawn_unit_m};
}

const char* word(HoleShape shape) {
    switch (shape) {
        case HoleShape::circle: return "circle";
        case HoleShape::square: return "square";
        case HoleShape::hexagon: return "hexagon";
    }
    return "";
}

/// What the numbers of a witness's list are.
const char* rungs_key(Witness witness) {
    switch (witness) {
        case Witness::undercut_ruler: return "frees_at_undercut_m";
        case Witness::hole_ladder: return "drawn_widths_m";
        case Witness::control: return "none";
        case Witness::size_ladder: return "scale";
    }
    return "";
}

Json proposal_json(const PatternProposal& q) {
    return {{"hole_m", number(q.hole_m)},
            {"pitch_m", number(q.pitch_m)},
            {"least_width_m", number(q.least_width_m)},
            {"least_gap_m", number(q.least_gap_m)},
            {"clears_at_m", q.clears_at_m > 0.0 ? number(q.clears_at_m) : Json(nullptr)}};
}

Json figure_json(const Pattern& p) {
    return {{"shape", word(p.shape)},
            {"corners", p.figure.corners.size()},
            {"width_m", p.figure.width_m},
            {"snapping_change_m", p.figure.width_m - p.sizes.drawn.width},
            {"largest_departure_m", p.figure.largest_departure_m}};
}

Json openings_json(const DrawnOpenings& o) {
    return {{"count", o.wanted},
            {"holes_met", o.holes},
            {"figures", o.figures},
            {"growth_m", o.growth_m},
            {"growth_std_m", o.growth_deviation_m},
            {"drawn_area_m2", o.drawn_area_m2},
            {"released_area_m2", o.released_area_m2}};
}

}  // namespace

Json witness_json(const PlacedWitness& w) {
    Json one{{"witness", to_string(w.witness)},
             {"caption", w.caption},
             {"low_m", point_json(w.box.low)},
             {"high_m", point_json(w.box.high)}};
    if (!w.rungs.empty()) one[rungs_key(w.witness)] = w.rungs;
    if (w.witness == Witness::undercut_ruler) one["frees_at_undercut_std_m"] = w.rung_deviation_m;
    return one;
}

Json check_json(const PatternCheck& c) {
    return {{"name", c.name},
            {"width_m", c.width_m},
            {"limit_m", c.limit_m ? Json(*c.limit_m) : Json(nullptr)},
            {"held", c.limit_m ? Json(c.held) : Json(nullptr)}};
}

void add_layers(Json& root, const LayerNumbers& layers) {
    for (std::size_t k = 0; k < layers.size(); ++k) {
        root["layers"][layer_names[k]] = layers[k].layer;
        root["datatypes"][layer_names[k]] = layers[k].datatype;
    }
}

void write_json(std::ostream& out, const Pattern& p, const LayerNumbers& layers) {
    Json root = json_head(p.title, p.sha256);
    root["sizes"] = p.hole_count > 0 ? hole_sizes_json(p.sizes) : Json(nullptr);
    root["figure"] = p.hole_count > 0 ? figure_json(p) : Json(nullptr);
    root["holes"] = {{"count", p.hole_count},
                     {"references", p.placements},
                     {"address_grid_m", p.grid * drawn_unit_m},
                     {"largest_shift_m", p.largest_shift_m}};
    root["openings"] = p.openings ? openings_json(*p.openings) : Json(nullptr);
    root["checks"] = Json::array();
    for (const PatternCheck& c : p.checks) root["checks"].push_back(check_json(c));
    root["proposal"] = p.proposal ? proposal_json(*p.proposal) : Json(nullptr);
    root["label"] = p.label.empty() ? Json(nullptr) : Json(p.label);
    root["crosses"] = p.crosses;
    root["witnesses"] = Json::array();
    for (const PlacedWitness& w : p.witnesses) root["witnesses"].push_back(witness_json(w));
    add_layers(root, layers);
    root["sources"] = sources_json(p.sources);
    root["warnings"] = warnings_json(p.warnings);
    print(out, root);
}

}  // namespace tymbal
