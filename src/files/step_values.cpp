#include "step_values.h"

#include <algorithm>

namespace tymbal {

namespace {

const std::vector<StepValue>& all() {
    constexpr std::nullopt_t text = std::nullopt;
    static const std::vector<StepValue> values{
        {"hole_width", Kind::length, "of a hole at this step: diameter, side, across flats"},
        {"drawn_width", Kind::length, "of a hole as drawn, if drawn elsewhere"},
        {"undercut", Kind::length, "beyond the edge of the released hole"},
        {"film_loss", Kind::length, "taken by the bath from one face"},
        {"time", Kind::time, "of this step: exposure, etch, bath"},
        {"over_etch", Kind::ratio, "share of the etch time beyond the film"},
        {"bath", text, "name of the bath, by which rates are learned"},
        {"bath_age", Kind::time, "since it was made up"},
        {"bath_temperature", Kind::temperature, "of the bath"},
        {"wafer", text, "name of the wafer, by which stress is learned"},
        {"recipe", text, "name of the recipe"},
        {"resist", text, "name and thickness"},
        {"dose", text, "as the writer counts it"},
        {"focus", text, "as the writer counts it"},
        {"inspection",
         text,
         "what was seen",
         {"free", "pillars", "stuck", "cracked corner", "cracked ligament", "missing", "dirty"}},
        {"mount", text, "number or name of the mount"},
        {"frequency", Kind::frequency, "of the lowest mode, or of the named one"},
        {"mode", text, "label of the mode"},
        {"q", Kind::ratio, "quality factor of that mode"},
        {"pressure", Kind::pressure, "at the chip"},
        {"temperature", Kind::temperature, "of the chip"},
        {"power", Kind::power, "of the light on the film"},
        {"wavelength", Kind::length, "of the light"},
        {"spot_radius", Kind::length, "where the intensity has fallen to 1/e^2"},
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

}  // namespace tymbal
