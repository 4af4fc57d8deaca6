#include "tymbal/print/write_size.h"

#include "../read/design_lines.h"
#include "../text/csv.h"
#include "../text/figures.h"
#include "json_parts.h"

namespace tymbal {

namespace {

std::string percent(double share) {
    return plain(100.0 * share, 3) + " %";
}

std::string size_text(const SizeTolerance& t) {
    return t.unit == "1" ? plain(t.value, 5) + " times" : with_prefix(t.value, t.unit.c_str(), 5);
}

void write_tolerances(std::ostream& out, const SizedDesign& s) {
    out << "\nTOLERANCE  (each alone moves the frequency by " << percent(s.window) << ")\n";
    for (const SizeTolerance& t : s.tolerances) {
        out << "  " << left(t.input, 15) << left(size_text(t), 12);
        if (!(t.relative < 1.0)) {  // beyond that the slope says nothing
            out << "hardly matters     sensitivity " << plain(t.weight, 2) << '\n';
            continue;
        }
        out << "+- " << left(percent(t.relative), 9)
            << left(t.unit == "1" ? "" : with_prefix(t.relative * t.value, t.unit.c_str(), 2), 8) << "sensitivity "
            << plain(t.weight, 2);
        if (t.known_to) out << ", known to " << plain(100.0 * *t.known_to, 2) << " %";
        out << '\n';
    }
}

}  // namespace

void write_table(std::ostream& out, const SizedDesign& s) {
    out << (s.title.empty() ? std::string("(no title)") : s.title) << "\n"
        << wrapped(out, (s.landed ? "on target: " : "NOT on target: ") + s.how, 0, 2) << "\n\n"
        << "DESIGN  (lines for the design file; they were solved as they stand here)\n"
        << design_lines(s.changes, "  ") << "\nSIZE\n";
    for (const SizedLength& l : s.lengths)
        out << "  " << left(l.key, 24) << with_prefix(l.before, "m", 6) << " -> " << with_prefix(l.after, "m", 6)
            << '\n';
    if (s.lengths.empty()) out << "  " << left("outline.scale", 24) << "1 -> " << plain(s.scale, 7) << '\n';
    if (s.hole_count > 0) out << "  " << left("holes", 24) << s.hole_count << '\n';
    if (s.drawn)
        out << "  " << left("to draw, field", 24) << with_prefix(s.drawn->width_m, "m", 6) << " x "
            << with_prefix(s.drawn->height_m, "m", 6) << " over the outermost holes\n  " << left("to draw, hole", 24)
            << with_prefix(s.drawn->hole_m, "m", 4) << '\n';
    out << "\nFREQUENCY\n  " << left("mode", 24) << s.label << ", number " << s.index << "\n  " << left("wanted", 24)
        << with_prefix(s.target_hz, "Hz", 7) << "\n  " << left("solved", 24) << with_prefix(s.frequency_hz, "Hz", 7)
        << ", " << rough(s.frequency_hz / s.target_hz - 1.0) << " off\n  " << left("inputs, one sigma", 24)
        << (stated(s.frequency_std_hz) ? "+- " + with_prefix(s.frequency_std_hz, "Hz", 2) : "-") << "\n  "
        << left("grid error", 24) << "+- " << with_prefix(s.discretisation_error_hz, "Hz", 2) << ", from "
        << s.solutions << " solved sizes\n";
    write_tolerances(out, s);
}

void write_json(std::ostream& out, const SizedDesign& s) {
    Json root = json_head(s.title, s.sha256);
    root["target"] = {{"mode", s.label}, {"index", s.index}, {"frequency_hz", number(s.target_hz)}};
    root["landed"] = s.landed;
    root["how"] = s.how;
    root["changes"] = changes_json(s.changes);
    root["scale"] = number(s.scale);
    root["drawn"] = s.drawn ? Json{{"hole_m", number(s.drawn->hole_m)},
                                   {"field_width_m", number(s.drawn->width_m)},
                                   {"field_height_m", number(s.drawn->height_m)}}
                            : Json(nullptr);
    root["lengths"] = Json::array();
    for (const SizedLength& l : s.lengths)
        root["lengths"].push_back({{"key", l.key}, {"before_m", number(l.before)}, {"after_m", number(l.after)}});
    root["hole_count"] = s.hole_count;
    root["frequency_hz"] = number(s.frequency_hz);
    root["residual"] = number(s.frequency_hz / s.target_hz - 1.0);
    root["frequency_std_hz"] = number(stated(s.frequency_std_hz));
    root["discretisation_error_hz"] = number(s.discretisation_error_hz);
    root["accuracy"] = number(s.accuracy);
    root["solutions"] = s.solutions;
    root["tolerance"] = {{"window", number(s.window)}, {"inputs", Json::array()}};
    for (const SizeTolerance& t : s.tolerances)
        root["tolerance"]["inputs"].push_back({{"input", t.input},
                                               {"value", number(t.value)},
                                               {"unit", t.unit},
                                               {"sensitivity", number(t.weight)},
                                               {"relative", number(t.relative)},
                                               {"known_to", number(t.known_to)}});
    print(out, root);
}

}  // namespace tymbal
