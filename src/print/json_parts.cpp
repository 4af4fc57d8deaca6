#include "json_parts.h"

#include "tymbal/text/version.h"

#include <cmath>

namespace tymbal {

Json number(double value) {
    return std::isfinite(value) ? Json(value) : Json(nullptr);
}

Json number(const std::optional<double>& value) {
    return value ? number(*value) : Json(nullptr);
}

Json json_tool() {
    return {{"tool", {{"name", "tymbal"}, {"version", version}}}};
}

Json json_head(const std::string& title, const std::string& sha256) {
    Json root = json_tool();
    root["design"] = {{"title", title}, {"sha256", sha256}};
    return root;
}

namespace {

Json value_json(double si) {
    return number(si);
}
Json value_json(const std::string& name) {
    return name;
}
Json value_json(const std::array<double, 2>& pair) {
    return Json::array({number(pair[0]), number(pair[1])});
}
Json value_json(const std::vector<Point>& points) {
    Json all = Json::array();
    for (const Point p : points) all.push_back(value_json(std::array<double, 2>{p.x, p.y}));
    return all;
}

}  // namespace

Json changes_json(const Changes& changes) {
    Json all = Json::object();
    for (const Change& change : changes)
        all[change.key] = std::visit([](const auto& value) { return value_json(value); }, change.value);
    return all;
}

Json limits_json(const std::vector<LimitCheck>& limits) {
    Json all = Json::array();
    for (const LimitCheck& l : limits)
        all.push_back({{"key", l.key},
                       {"limit", number(l.limit)},
                       {"value", number(l.value)},
                       {"unit", l.unit},
                       {"held", l.held}});
    return all;
}

Json sources_json(const std::vector<SourceLine>& sources) {
    Json all = Json::array();
    for (const SourceLine& s : sources)
        all.push_back({{"quantity", s.quantity},
                       {"value", number(s.value)},
                       {"std", number(s.deviation)},
                       {"unit", s.unit},
                       {"source", s.source}});
    return all;
}

Json warnings_json(const Warnings& warnings) {
    Json all = Json::array();
    for (const Warning& w : warnings) all.push_back(w.code + ": " + w.text);
    return all;
}

Json film_loss_json(const std::optional<FilmLoss>& loss) {
    if (!loss) return nullptr;
    return {{"above_m", number(loss->above)},
            {"below_mean_m", number(loss->below_mean)},
            {"below_at_holes_m", number(loss->below_at_holes)},
            {"relative_std", number(loss->relative_spread)}};
}

Json field_json(const std::optional<FieldFit>& field) {
    if (!field) return nullptr;
    const auto side = [](const FieldSide& s) {
        return Json{{"asked_m", number(s.asked)},
                    {"filled_m", number(s.filled)},
                    {"next_smaller_m", number(s.smaller)},
                    {"next_larger_m", number(s.larger)}};
    };
    return {{"width", side(field->width)}, {"height", side(field->height)}};
}

Json hole_sizes_json(const HoleSizes& sizes) {
    const auto one = [](const HoleSize& s) {
        return Json{{"width_m", number(s.width)}, {"std_m", number(s.deviation)}};
    };
    return {{"drawn", one(sizes.drawn)},
            {"printed", one(sizes.printed)},
            {"etched", one(sizes.etched)},
            {"released", one(sizes.released)}};
}

void print(std::ostream& out, const Json& root) {
    // Titles and file names may hold bytes that are not UTF-8; they are replaced, not fatal.
    out << root.dump(2, ' ', false, Json::error_handler_t::replace) << '\n';
}

}  // namespace tymbal
