// A card a device: its picture to scale, figures, lowest modes, what the bath does to it, warnings.
#include "../print/chip_rows.h"
#include "../print/limits_table.h"
#include "../text/markup.h"
#include "mode_picture.h"
#include "plan_shapes.h"
#include "report_chip_parts.h"

#include <algorithm>

namespace tymbal {

namespace {

constexpr std::size_t most_modes = 6;  // of a card's table; predict has all

/// All that the page knows of one device.
struct Card {
    const ChipDevice& drawn;
    const PredictedDevice& predicted;
    const ReleasedDevice* released = nullptr;
    std::size_t shapes = 0;  ///< at most so many
};

void write_picture(std::ostream& out, const Card& card) {
    const DeviceShapes plan = device_plan(card.drawn.device, true);
    const Frame frame = frame_round(extent_of(plan), 240.0, 0.05);
    const std::string whole = coordinate(frame.width()) + "\" height=\"" + coordinate(frame.height());
    out << "<div class=\"drawn\">\n<svg class=\"plan\" viewBox=\"0 0 " << coordinate(frame.width()) << ' '
        << coordinate(frame.height() + scale_strip) << "\" role=\"img\" aria-label=\"Plan of device "
        << markup_text(card.drawn.name) << ", " << html(outline_words(card.predicted) + " um") << "\">\n<svg width=\""
        << whole << "\">\n<rect width=\"" << whole << "\" fill=\"" << plan_colours::held_film << "\"/>\n"
        << device_shapes(plan, frame, plan_colours::free_film) << spot_shape(card.drawn.device, frame) << "</svg>\n";
    draw_scale_bar(out, frame);
    out << "</svg>\n</div>\n";
}

std::string stress_words(const EffectiveFilm& film) {
    std::string text = with_prefix(film.stress_peak_von_mises_pa, "Pa", 3);
    if (film.stress_peak_error_pa > 0.0)
        text.append(", grid error up to ").append(with_prefix(film.stress_peak_error_pa, "Pa", 2));
    return text.append("; strength is ").append(plain(film.fracture_margin)).append(" times that");
}

std::string broken_limits(const Card& card) {
    std::vector<std::string> keys;
    const auto add = [&](const std::vector<LimitCheck>& limits) {
        for (const LimitCheck& l : limits)
            if (!l.held && std::find(keys.begin(), keys.end(), l.key) == keys.end()) keys.push_back(l.key);
    };
    if (card.predicted.prediction) add(card.predicted.prediction->limits);
    if (card.released != nullptr) add(card.released->report.limits);
    return comma_list(keys);
}

void add_bath(std::vector<Fact>& rows, const ReleaseReport& r) {
    if (r.etch && r.etch->clear_s > 0.0) rows.push_back({"Clear at", duration(r.etch->clear_s)});
    if (r.etch && !r.etch->ends.empty())
        rows.push_back({"First limit", duration(r.etch->ends.front().time_s) + ": " + r.etch->ends.front().limit});
    for (const DryingRow& d : r.drying)
        if (d.row == r.chosen_drying)
            rows.push_back(
                {"Drying", d.row + ", " +
                               (d.margin ? "collapse margin " + with_uncertainty(*d.margin, d.margin_deviation, 1.0)
                                         : std::string("no meniscus"))});
}

std::vector<Fact> figures_of(const Card& card) {
    const Device& device = card.drawn.device;
    std::vector<Fact> rows{{"Position", millimetres(card.drawn.position) + " mm"},
                           {"Outline", outline_words(card.predicted) + " um"}};
    if (card.predicted.prediction) {
        const Prediction& p = *card.predicted.prediction;
        if (device.holes)
            rows.push_back(
                {"Holes", std::to_string(p.film.hole_count) + " of " +
                              any_size(1e6 * device.holes->size.si(), 1e6 * device.holes->size.deviation_si()) +
                              " um"});
        rows.push_back({"Peak stress", stress_words(p.film)});
    }
    if (card.released != nullptr) add_bath(rows, card.released->report);
    if (const std::string broken = broken_limits(card); !broken.empty()) rows.push_back({"Broken", broken});
    return rows;
}

/// "(1,1)", "#2 pad".
std::string mode_words(const Mode& mode) {
    return mode.character.empty() || mode.character == mode.label ? mode.label : mode.label + " " + mode.character;
}

void write_modes(std::ostream& out, const Prediction& p) {
    const FrequencyUnit unit = frequency_unit(p.modes.front().mode.frequency_hz);
    const std::vector<Column> columns{{"mode", false},
                                      {std::string("f (").append(unit.name).append(")")},
                                      {"grid error"},
                                      {"Q, band"},
                                      {"limited by", false}};
    begin_table(out, "Lowest modes, " + p.model + " model", columns);
    for (std::size_t k = 0; k < std::min(most_modes, p.modes.size()); ++k) {
        const PredictedMode& m = p.modes[k];
        table_row(out, columns,
                  {mode_words(m.mode), frequency_cell(m.mode, unit),
                   rough(m.mode.discretisation_error_hz / m.mode.frequency_hz),
                   rough(m.losses.total.low) + " to " + rough(m.losses.total.high), m.losses.limited_by});
    }
    end_table(out);
}

void write_card_warnings(std::ostream& out, const Warnings& warnings) {
    if (warnings.empty()) return;
    out << "<details><summary>" << warnings.size() << (warnings.size() == 1 ? " warning" : " warnings")
        << "</summary>\n";
    list(out, texts_of(warnings));
    out << "</details>\n";
}

void write_card(std::ostream& out, const Card& card) {
    const std::string& title = card.drawn.device.title;
    out << "<article class=\"device\" id=\"device-" << markup_text(card.drawn.name) << "\">\n<h3>"
        << html(card.drawn.name + (title.empty() ? "" : ": " + title)) << "</h3>\n";
    write_picture(out, card);
    out << "<div>\n";
    facts(out, "As it hangs free", figures_of(card));
    out << "</div>\n<div>\n";
    if (card.predicted.prediction && !card.predicted.prediction->modes.empty()) {
        write_modes(out, *card.predicted.prediction);
        write_card_shapes(out, card.drawn, *card.predicted.prediction, card.shapes);
        write_card_warnings(out, card.predicted.prediction->warnings);
    } else {
        out << "<p class=\"note\">No answer: " << html(card.predicted.why) << "</p>\n";
    }
    out << "</div>\n</article>\n";
}

}  // namespace

void write_cards_section(std::ostream& out, const ChipReport& report) {
    const std::size_t devices = report.chip.devices.size();
    begin_section(out, "cards", "Each device");
    out << "<p>Shapes: displacement over its largest, nodal lines dark.</p>\n";
    displacement_bar(out);
    for (std::size_t k = 0; k < devices; ++k)
        write_card(out, {report.chip.devices[k], report.prediction.devices[k],
                         report.release ? &report.release->devices[k] : nullptr, shapes_of_each(devices)});
    end_section(out);
}

}  // namespace tymbal
