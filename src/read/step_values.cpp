#include "step_values.h"

#include "find_row.h"
#include "read_figure.h"

#include <algorithm>
#include <map>

namespace tymbal {

namespace {

const std::vector<StepValue>& all() {
    constexpr std::nullopt_t text = std::nullopt;
    static const std::vector<StepValue> values{
        {"hole_width", Kind::length, "of a hole at this step: diameter, side, across flats", ranges::lateral},
        {"drawn_width", Kind::length, "of a hole as drawn, if drawn elsewhere", ranges::lateral},
        {"undercut", Kind::length, "beyond the edge of the released hole", ranges::way},
        {"film_loss", Kind::length, "taken by the bath from one face", {0.0, 1e-4, "0 to 0.1 mm"}},
        {"time", Kind::time, "of this step: exposure, etch, bath", ranges::duration},
        {"over_etch", Kind::ratio, "share of the etch time beyond the film", {0.0, 100.0, "0 to 100"}},
        {"bath", text, "name of the bath, by which rates are learned"},
        {"bath_age", Kind::time, "since it was made up", ranges::not_negative},
        {"bath_temperature", Kind::temperature, "of the bath", ranges::temperature},
        {"wafer", text, "name of the wafer, by which stress is learned"},
        {"recipe", text, "name of the recipe"},
        {"resist", text, "name and thickness"},
        {"dose", text, "as the writer counts it"},
        {"focus", text, "as the writer counts it"},
        {"inspection",
         text,
         "what was seen",
         {},
         {"free", "pillars", "stuck", "cracked corner", "cracked ligament", "missing", "dirty"}},
        {"mount", text, "number or name of the mount"},
        {"frequency", Kind::frequency, "of the lowest mode, or of the named one", ranges::positive},
        {"mode", text, "label of the mode"},
        {"q", Kind::ratio, "quality factor of that mode", ranges::positive},
        {"pressure", Kind::pressure, "at the chip", ranges::not_negative},
        {"temperature", Kind::temperature, "of the chip", ranges::temperature},
        {"power", Kind::power, "of the light on the film", ranges::watts},
        {"wavelength", Kind::length, "of the light", ranges::light},
        {"spot_radius", Kind::length, "where the intensity has fallen to 1/e^2", ranges::lateral},
    };
    return values;
}

}  // namespace

std::span<const StepValue> step_values() {
    return all();
}

const StepValue* find_step_value(const std::string& name) {
    const auto found = std::find_if(all().begin(), all().end(), [&](const StepValue& v) { return v.name == name; });
    return found == all().end() ? nullptr : &*found;
}

std::vector<std::string> step_value_names() {
    std::vector<std::string> names;
    for (const StepValue& v : all()) names.emplace_back(v.name);
    return names;
}

Range design_range(const std::string& full, Kind kind) {
    static const std::map<std::string, Range> own{{"film.thickness", ranges::thickness},
                                                  {"film.layer.thickness", ranges::thickness},
                                                  {"film.stress", ranges::stress},
                                                  {"film.layer.stress", ranges::stress},
                                                  {"film.poisson_ratio", ranges::poisson},
                                                  {"film.layer.poisson_ratio", ranges::poisson},
                                                  {"film.index", ranges::index},
                                                  {"film.layer.index", ranges::index},
                                                  {"outline.corner_radius", ranges::not_negative},
                                                  {"holes.margin", ranges::not_negative},
                                                  {"release.gap", ranges::thickness},
                                                  {"release.undercut", ranges::way},
                                                  {"release.slow_down", ranges::way},
                                                  {"release.time", ranges::duration},
                                                  {"process.lithography_bias", ranges::bias},
                                                  {"process.etch_bias", ranges::bias},
                                                  {"readout.wavelength", ranges::light},
                                                  {"readout.power", ranges::watts},
                                                  {"cavity.detuning", ranges::any}};
    if (const auto found = own.find(full); found != own.end()) return found->second;
    const std::string section = full.substr(0, full.find('.'));
    const bool lateral = section == "outline" || section == "holes" || section == "openings" || section == "chip";
    if (kind == Kind::length && lateral) return ranges::lateral;
    if (kind == Kind::temperature) return ranges::temperature;
    if (kind == Kind::speed) return ranges::speed;
    return kind == Kind::angle || kind == Kind::thermal_expansion ? ranges::any : ranges::not_negative;
}

std::vector<std::string> design_words(const std::string& full) {
    return full == "outline.shape" ? outline_shapes() : std::vector<std::string>{};
}

std::vector<std::string> design_rows(const std::string& full, const Materials& materials) {
    if (full == "release.etchant") return row_names(materials.etchants);
    if (full == "release.drying") return row_names(materials.liquids);
    if (full == "surroundings.gas") return row_names(materials.gases);
    std::vector<std::string> solids = row_names(materials.solids);
    if (full == "readout.below") solids.emplace_back("none");
    const bool solid = full == "film.material" || full == "film.layer.material" || full == "chip.material" ||
                       full == "release.sacrificial" || full == "readout.below";
    return solid ? solids : std::vector<std::string>{};
}

}  // namespace tymbal
