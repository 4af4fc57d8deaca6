#include "tymbal/print/write_chip_pattern.h"

#include "../text/csv.h"
#include "../text/figures.h"
#include "pattern_json.h"

#include "tymbal/mask/write_svg.h"

#include <algorithm>

namespace tymbal {

namespace {

constexpr std::size_t label_width = 26;

void line(std::ostream& out, const std::string& what, const std::string& value) {
    out << "  " << left(what, label_width) << wrapped(out, value, label_width + 2, label_width + 2) << '\n';
}

std::string um(double metres, int digits = 5) {
    return plain(1e6 * metres, digits);
}

std::string counted(std::size_t count, const char* one, const char* many) {
    return std::to_string(count).append(" ").append(count == 1 ? one : many);
}

std::string drawn_words(const ChipPatternDevice& d) {
    if (d.blank) return "nothing: no holes, no openings";
    const Pattern& p = d.pattern;
    std::string words;
    if (p.hole_count > 0)
        words = counted(static_cast<std::size_t>(p.hole_count), "hole", "holes") + " drawn " + um(p.figure.width_m, 4) +
                " um wide";
    if (!p.openings) return words;
    return words + (words.empty() ? "" : ", ") + counted(p.openings->figures, "figure", "figures") + " of openings";
}

void write_devices(std::ostream& out, const ChipPattern& chip) {
    std::size_t widest = 6;
    for (const ChipPatternDevice& d : chip.devices) widest = std::max(widest, d.name.size());
    out << "DEVICES  (places from the chip's centre, um)\n"
        << "  " << left("device", widest + 2) << right("x", 9) << right("y", 9) << "  drawn\n";
    for (const ChipPatternDevice& d : chip.devices)
        out << "  " << left(d.name, widest + 2) << right(um(d.position.x), 9) << right(um(d.position.y), 9) << "  "
            << wrapped(out, drawn_words(d), widest + 24, widest + 24) << '\n';
    out << '\n';
}

std::string clearance(const ChipClearance& c) {
    return um(c.apart_m, 4) + " um, " + c.one + " and " + c.other;
}

void write_checks(std::ostream& out, const ChipPattern& chip) {
    out << "CHECKS\n";
    line(out, "address grid", with_prefix(chip.grid * drawn_unit_m, "m", 3));
    for (const PatternCheck& c : chip.checks)
        line(
            out, c.name,
            with_prefix(c.width_m, "m", 4) + (c.limit_m ? std::string(c.held ? ", met: the writer needs at least "
                                                                             : ", BROKEN: the writer needs at least ") +
                                                              with_prefix(*c.limit_m, "m", 3)
                                                        : ""));
    if (chip.largest_undercut_m > 0.0)
        line(out, "fronts are taken at",
             "an undercut of " + um(chip.largest_undercut_m, 4) + " um, from " + chip.undercut_from);
    if (chip.closest_fronts) line(out, "closest fronts", clearance(*chip.closest_fronts));
    if (chip.closest_edge) line(out, "closest to the edge", clearance(*chip.closest_edge));
}

void write_furniture(std::ostream& out, const ChipPattern& chip) {
    out << "\nCHIP\n";
    line(out, "label", chip.label.empty() ? "none" : chip.label);
    line(out, "marks",
         counted(static_cast<std::size_t>(chip.crosses), "cross", "crosses") + ", " +
             counted(static_cast<std::size_t>(chip.squares), "square", "squares") + ", " +
             (chip.picture_figures == 0 ? std::string("no picture")
                                        : "a picture of " + counted(chip.picture_figures, "figure", "figures")));
    for (const PlacedWitness& w : chip.witnesses)
        line(out, to_string(w.witness),
             w.caption + ", from " + um(w.box.low.x * drawn_unit_m) + ", " + um(w.box.low.y * drawn_unit_m) + " to " +
                 um(w.box.high.x * drawn_unit_m) + ", " + um(w.box.high.y * drawn_unit_m) + " um");
    line(out, "names of cells end in", chip.fingerprint);
}

Json clearance_json(const std::optional<ChipClearance>& c) {
    if (!c) return nullptr;
    return {{"one", c->one}, {"other", c->other}, {"apart_m", number(c->apart_m)}};
}

Json device_json(const ChipPatternDevice& d) {
    const Pattern& p = d.pattern;
    Json one{{"name", d.name},
             {"position_m", {d.position.x, d.position.y}},
             {"drawn_at_m", {d.at.x * drawn_unit_m, d.at.y * drawn_unit_m}},
             {"low_m", {d.box.low.x * drawn_unit_m, d.box.low.y * drawn_unit_m}},
             {"high_m", {d.box.high.x * drawn_unit_m, d.box.high.y * drawn_unit_m}},
             {"hole_count", p.hole_count},
             {"drawn_width_m", p.hole_count > 0 ? number(p.figure.width_m) : Json(nullptr)},
             {"released_width_m", p.hole_count > 0 ? number(p.sizes.released.width) : Json(nullptr)},
             {"opening_figures", p.openings ? p.openings->figures : 0},
             {"opening_area_m2", p.openings ? number(p.openings->drawn_area_m2) : Json(nullptr)}};
    return one;
}

void write_device_csv(std::ostream& out, const ChipPattern& chip) {
    out << "device,x (um),y (um),width (um),height (um),holes,drawn width (um),released width (um),openings "
           "(figures),design\n";
    for (const ChipPatternDevice& d : chip.devices) {
        const Pattern& p = d.pattern;
        const bool holes = p.hole_count > 0;
        out << csv_text(d.name) << ',' << um(d.at.x * drawn_unit_m, 9) << ',' << um(d.at.y * drawn_unit_m, 9) << ','
            << um((d.box.high.x - d.box.low.x) * drawn_unit_m, 9) << ','
            << um((d.box.high.y - d.box.low.y) * drawn_unit_m, 9) << ',' << p.hole_count << ','
            << (holes ? um(p.figure.width_m, 6) : "") << ',' << (holes ? um(p.sizes.released.width, 6) : "") << ','
            << (p.openings ? p.openings->figures : 0) << ',' << csv_text(d.design_file) << '\n';
    }
}

}  // namespace

void write_table(std::ostream& out, const ChipPattern& chip) {
    out << (chip.title.empty() ? std::string("(no title)") : chip.title) << "\n\n";
    write_devices(out, chip);
    write_checks(out, chip);
    write_furniture(out, chip);
    if (!chip.warnings.empty()) out << "\nWARNINGS\n";
    for (const Warning& w : chip.warnings) out << "  " << wrapped(out, "! " + w.text, 2, 4) << '\n';
}

void write_json(std::ostream& out, const ChipPattern& chip, const LayerNumbers& layers) {
    Json root = json_tool();
    root["chip"] = {{"title", chip.title}, {"sha256", chip.sha256}};
    root["fingerprint"] = chip.fingerprint;
    root["address_grid_m"] = chip.grid * drawn_unit_m;
    root["devices"] = Json::array();
    for (const ChipPatternDevice& d : chip.devices) root["devices"].push_back(device_json(d));
    root["checks"] = Json::array();
    for (const PatternCheck& c : chip.checks) root["checks"].push_back(check_json(c));
    root["largest_undercut_m"] = chip.largest_undercut_m > 0.0 ? number(chip.largest_undercut_m) : Json(nullptr);
    root["closest_fronts"] = clearance_json(chip.closest_fronts);
    root["closest_to_edge"] = clearance_json(chip.closest_edge);
    root["label"] = chip.label.empty() ? Json(nullptr) : Json(chip.label);
    root["crosses"] = chip.crosses;
    root["squares"] = chip.squares;
    root["picture_figures"] = chip.picture_figures;
    root["witnesses"] = Json::array();
    for (const PlacedWitness& w : chip.witnesses) root["witnesses"].push_back(witness_json(w));
    add_layers(root, layers);
    root["warnings"] = warnings_json(chip.warnings);
    print(out, root);
}

void write_pattern(std::ostream& out, const ChipPattern& chip, PatternFormat format, const LayerNumbers& layers) {
    switch (format) {
        case PatternFormat::gdsii: return write_gdsii(out, chip.drawing, layers);
        case PatternFormat::svg: return write_svg(out, chip.drawing, chip.title);
        case PatternFormat::csv: return write_device_csv(out, chip);
    }
}

}  // namespace tymbal
