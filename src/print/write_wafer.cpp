#include "tymbal/print/write_wafer.h"

#include "../text/csv.h"
#include "../text/figures.h"
#include "json_parts.h"

#include <cmath>

namespace tymbal {

namespace {

void line(std::ostream& out, const char* what, const std::string& value) {
    out << "  " << left(what, 34) << value << '\n';
}

std::string curvature_text(double per_m) {
    if (per_m == 0.0) return "flat";
    return plain(per_m, 4)
        .append(" 1/m (radius ")
        .append(with_prefix(1.0 / std::abs(per_m), "m", 3))
        .append(per_m > 0.0 ? ", front hollow)" : ", front bulging)");
}

std::string frequency_text(const DieForecast& d) {
    return d.frequency_std_hz > 0.0 ? with_uncertainty(d.frequency_hz, d.frequency_std_hz, 1e3)
                                    : plain(1e-3 * d.frequency_hz, 6);
}

void write_forecast(std::ostream& out, const WaferFilm& f) {
    out << "\nDIES  (forecast of mode " << f.mode << "; most of the uncertainty is common to all)\n";
    out << "  " << left("die", 12) << in_column("x, y (mm)", 16) << in_column("thickness", 16)
        << in_column("f (kHz)", 20) << in_column("in window", 12) << '\n';
    for (const DieForecast& d : f.forecast)
        out << "  " << left(d.die.name.substr(0, 12), 12)
            << in_column(fixed(1e3 * d.die.at.x, 1).append(", ").append(fixed(1e3 * d.die.at.y, 1)), 16)
            << in_column(with_prefix(d.die.thickness.si(), "m", 4), 16) << in_column(frequency_text(d), 20)
            << in_column(d.chance ? fixed(100.0 * *d.chance, 1).append(" %") : "-", 12) << '\n';
}

}  // namespace

void write_table(std::ostream& out, const WaferFilm& f) {
    out << (f.title.empty() ? std::string("(no title)") : f.title) << "\nfilm from the wafer's " << f.shape_given_as
        << "\n\nFILM\n";
    line(out, "stress, tensile positive", with_uncertainty(f.stress.stress_pa, f.stress.stress_std_pa, 1e6) + " MPa");
    line(out, "tension (stress times thickness)",
         with_uncertainty(f.stress.tension_n_per_m, f.stress.tension_std_n_per_m, 1.0) + " N/m");
    line(out, "thickness for a design", with_uncertainty(f.thickness_m, f.thickness_std_m, 1e-9) + " nm");
    if (f.index)
        line(out, "index",
             with_uncertainty(*f.index, f.index_std.value_or(0.0), 1.0)
                 .append(" at ")
                 .append(with_prefix(f.index_wavelength_m, "m", 4)));
    line(out, "first shape", curvature_text(f.curvature_before_per_m));
    line(out, "second shape", curvature_text(f.curvature_after_per_m));
    line(out, "biaxial modulus of the wafer", with_prefix(f.biaxial_modulus_pa, "Pa", 4));
    line(out, "left out by thin-film theory", "about " + plain(100.0 * f.first_order_error, 2) + " %");
    out << "\nWHAT LIMITS THE STRESS  (change by one standard deviation of the input)\n";
    for (const StressShare& s : f.stress.shares)
        if (s.stress_pa > 0.0) out << "  " << left(s.input, 34) << with_prefix(s.stress_pa, "Pa", 3) << '\n';
    if (!f.forecast.empty()) write_forecast(out, f);
    if (!f.warnings.empty()) out << "\nWARNINGS\n";
    for (const Warning& w : f.warnings) out << "  " << wrapped(out, "! " + w.text, 2, 4) << '\n';
}

void write_csv(std::ostream& out, const WaferFilm& f) {
    out << "die,x_m,y_m,thickness_m,thickness_std_m,frequency_hz,frequency_std_hz,chance\n";
    for (const DieForecast& d : f.forecast)
        out << csv_text(d.die.name) << ',' << csv(d.die.at.x) << ',' << csv(d.die.at.y) << ','
            << csv(d.die.thickness.si()) << ',' << csv(d.die.thickness.deviation_si()) << ',' << csv(d.frequency_hz)
            << ',' << csv(stated(d.frequency_std_hz)) << ',' << csv(d.chance) << '\n';
}

void write_json(std::ostream& out, const WaferFilm& f) {
    Json root = json_tool();
    root["wafer"] = {{"title", f.title}, {"sha256", f.sha256}, {"shape_given_as", f.shape_given_as}};
    root["stress_pa"] = number(f.stress.stress_pa);
    root["stress_std_pa"] = number(f.stress.stress_std_pa);
    root["tension_n_per_m"] = number(f.stress.tension_n_per_m);
    root["tension_std_n_per_m"] = number(f.stress.tension_std_n_per_m);
    root["thickness_m"] = number(f.thickness_m);
    root["thickness_std_m"] = number(f.thickness_std_m);
    root["index"] = number(f.index);
    root["index_std"] = number(f.index_std);
    root["index_wavelength_m"] = f.index ? number(f.index_wavelength_m) : Json(nullptr);
    root["curvature_before_per_m"] = number(f.curvature_before_per_m);
    root["curvature_after_per_m"] = number(f.curvature_after_per_m);
    root["biaxial_modulus_pa"] = number(f.biaxial_modulus_pa);
    root["first_order_error"] = number(f.first_order_error);
    root["shares"] = Json::array();
    for (const StressShare& s : f.stress.shares)
        root["shares"].push_back({{"input", s.input}, {"stress_pa", number(s.stress_pa)}});
    root["mode"] = f.mode.empty() ? Json(nullptr) : Json(f.mode);
    root["dies"] = Json::array();
    for (const DieForecast& d : f.forecast)
        root["dies"].push_back({{"name", d.die.name},
                                {"x_m", number(d.die.at.x)},
                                {"y_m", number(d.die.at.y)},
                                {"thickness_m", number(d.die.thickness.si())},
                                {"frequency_hz", number(d.frequency_hz)},
                                {"frequency_std_hz", number(stated(d.frequency_std_hz))},
                                {"chance", number(d.chance)}});
    root["warnings"] = warnings_json(f.warnings);
    print(out, root);
}

}  // namespace tymbal
