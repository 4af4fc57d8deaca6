#include "../text/figures.h"
#include "json_parts.h"

#include "tymbal/print/write_light.h"
#include "tymbal/print/write_release.h"

namespace tymbal {

namespace {

void line(std::ostream& out, const char* what, const std::string& value) {
    out << "  " << left(what, 34) << wrapped(out, value, 36, 36) << '\n';
}

std::string nanometres(double metres) {
    return fixed(1e9 * metres, 2).append(" nm");
}

std::vector<std::string> tuning_cautions(const TuneReport& r) {
    std::vector<std::string> out = release_cautions(ReleaseReport{});
    for (const TuneBath& b : r.baths)
        if (!b.hazard.empty() && b.hazard != "hydrofluoric acid")
            out.push_back(b.etchant + ": " + b.hazard + "; only trained and authorised people, by local rules.");
    out.emplace_back(
        "Light: a mirror this good sends the whole beam back; class, eyewear, enclosure and beam path are "
        "the laser safety officer's.");
    return out;
}

void write_film(std::ostream& out, const TuneReport& r) {
    out << (r.title.empty() ? std::string("(no title)") : r.title) << "\n\nLINE BY ETCHING  (to "
        << nanometres(r.asked.to_m) << ")\n";
    line(out, r.asked.measured_m ? "line as measured, as predicted" : "line as predicted",
         (r.asked.measured_m ? nanometres(*r.asked.measured_m).append(", ") : std::string())
             .append(nanometres(r.line.wavelength_m)));
    if (r.asked.measured_m) line(out, "film that has it there", nanometres(r.thickness_m));
    line(out, "to take off, each face and wall", nanometres(r.per_face_m));
    line(out, "film then", nanometres(r.thickness_after_m));
    line(out, "holes then", with_prefix(r.hole_after_m, "m", 4));
    line(out, "line then, its width",
         nanometres(r.line_after_m)
             .append(" +- ")
             .append(nanometres(r.line_after_std_m))
             .append(", ")
             .append(nanometres(r.width_after_m)));
    line(out, "stress of the solid film", with_prefix(r.stress_pa, "Pa", 4).append(", as before"));
    for (const TunedMode& m : r.modes)
        line(out, ("mode " + m.label).c_str(),
             with_prefix(m.before_hz, "Hz", 5)
                 .append(" now, ")
                 .append(with_prefix(m.after_hz, "Hz", 5))
                 .append(" then"));
}

void write_baths(std::ostream& out, const TuneReport& r) {
    out << "\nBATHS  (of the material table; +-: the rate alone)\n  " << left("etchant", 26) << "minutes\n";
    for (const TuneBath& b : r.baths)
        out << "  " << left(b.etchant, 26) << with_uncertainty(b.minutes, b.minutes_std, 1.0) << '\n';
}

}  // namespace

void write_table(std::ostream& out, const TuneReport& r) {
    write_film(out, r);
    write_baths(out, r);
    if (!r.warnings.empty()) out << "\nWARNINGS\n";
    for (const Warning& w : r.warnings) out << "  " << wrapped(out, "! " + w.text, 2, 4) << '\n';
    out << "\nCAUTIONS\n";
    for (const std::string& caution : tuning_cautions(r)) out << "  " << wrapped(out, "- " + caution, 2, 4) << '\n';
}

void write_json(std::ostream& out, const TuneReport& r) {
    Json root = json_head(r.title, r.sha256);
    root["to_m"] = number(r.asked.to_m);
    root["measured_m"] = number(r.asked.measured_m);
    root["predicted_m"] = number(r.line.wavelength_m);
    root["thickness_m"] = number(r.thickness_m);
    root["per_face_m"] = number(r.per_face_m);
    root["thickness_after_m"] = number(r.thickness_after_m);
    root["hole_after_m"] = number(r.hole_after_m);
    root["line_after_m"] = number(r.line_after_m);
    root["line_after_std_m"] = number(r.line_after_std_m);
    root["width_after_m"] = number(r.width_after_m);
    root["stress_pa"] = number(r.stress_pa);
    root["modes"] = Json::array();
    for (const TunedMode& m : r.modes)
        root["modes"].push_back(
            {{"label", m.label}, {"before_hz", number(m.before_hz)}, {"after_hz", number(m.after_hz)}});
    root["baths"] = Json::array();
    for (const TuneBath& b : r.baths)
        root["baths"].push_back({{"etchant", b.etchant},
                                 {"title", b.title},
                                 {"minutes", number(b.minutes)},
                                 {"minutes_std", number(b.minutes_std)},
                                 {"source", b.source}});
    root["warnings"] = warnings_json(r.warnings);
    root["cautions"] = tuning_cautions(r);
    print(out, root);
}

}  // namespace tymbal
