#include "tymbal/print/write_light.h"

#include "../text/csv.h"
#include "../text/figures.h"
#include "light_rows.h"
#include "light_words.h"
#include "write_stack.h"

#include <algorithm>

namespace tymbal {

namespace {

std::string nanometres(double metres, int decimals = 2) {
    return fixed(1e9 * metres, decimals);
}

void write_mirror(std::ostream& out, const LightReport& r) {
    out << "LIGHT  (" << with_prefix(r.wavelength_m, "m", 6) << ", normal incidence, film alone, "
        << (r.holes ? "Fourier modes of the unit cell)\n" : "no holes)\n");
    light_row(out, "film as released",
              with_prefix(r.released.thickness_m, "m", 4)
                  .append(", index ")
                  .append(fixed(r.film_index, 4))
                  .append(" + ")
                  .append(rough(r.film_extinction))
                  .append(" i"));
    light_row(out, "reflected", reflected_words(r.mean.reflectivity, r.mean.error));
    light_row(out, "transmitted", share_text(r.mean.transmission));
    light_row(out, "absorbed in the film", rough(r.mean.absorption));
    if (r.mean.diffracts)
        light_row(out, "diffracted up, down",
                  share_text(r.mean.diffracted_up).append(", ").append(share_text(r.mean.diffracted_down)));
    const double x = r.by_polarisation.front().response.reflectivity,
                 y = r.by_polarisation.back().response.reflectivity;
    light_row(out, "field along the lattice, across", share_text(x).append(", ").append(share_text(y)));
    if (r.chance_to_reflect)
        light_row(out, "chance to reflect " + share_text(*r.least_reflectivity),
                  plain(*r.chance_to_reflect, 2).append(" (at least so much; stated deviations, 256 films)"));
    if (r.spot)
        light_row(out, "spot of that waist",
                  share_text(r.spot->reflected_power)
                      .append(" reflected, ")
                      .append(share_text(r.spot->mode_matched))
                      .append(" into its own mode (waist ")
                      .append(with_prefix(*r.waist_m, "m", 3))
                      .append(")"));
}

void write_lines(std::ostream& out, const LightReport& r) {
    out << "\nLINES  (" << nanometres(r.range.from_m, 0) << " to " << nanometres(r.range.to_m, 0)
        << " nm; width: full, half maximum; numerics: by truncation)\n";
    if (r.lines.empty()) {
        out << "  none\n";
        return;
    }
    out << "       field wavelength (nm)  width (nm)       Q  numerics  sigma (nm) most R at\n";
    for (const LightLine& l : r.lines)
        out << "  " << left(name_of(l.line.guided), 5) << left(name_of(l.line.field), 5)
            << in_column(nanometres(l.line.wavelength_m, 3), 16) << in_column(plain(1e9 * l.line.width_m, 4), 12)
            << in_column(plain(l.line.q, 4), 8) << in_column(plain(1e9 * l.line.error_m, 2), 10)
            << in_column(l.deviation_m ? plain(1e9 * *l.deviation_m, 2) : "-", 12)
            << in_column(l.peak_m ? nanometres(*l.peak_m) : "-", 10) << '\n';
    out << "\n       nm per nm of pitch     of hole   of thickness   per 0.01 of index\n";
    for (const LightLine& l : r.lines) {
        if (!l.slopes) continue;
        out << "  " << left(name_of(l.line.guided), 5) << in_column(fixed(l.slopes->per_pitch, 3), 18)
            << in_column(fixed(l.slopes->per_size, 3), 12) << in_column(fixed(l.slopes->per_thickness, 3), 15)
            << in_column(fixed(1e7 * l.slopes->per_index_m, 3), 20) << '\n';
    }
    out << "  "
        << wrapped(
               out,
               "A line is a pole; R = 1 of a clear film lies beside it (most R at), - where the solution cannot tell "
               "places within the width. A line's sigma takes the stated deviations of pitch, hole, thickness and "
               "index, those of process and etch among them.",
               2, 2)
        << '\n';
}

Json complex_json(std::complex<double> value) {
    return Json::array({value.real(), value.imag()});
}

Json lines_json(const LightReport& r) {
    Json out = Json::array();
    for (const LightLine& l : r.lines) {
        Json row;
        row["polarisation"] = name_of(l.line.guided);
        row["electric_field"] = name_of(l.line.field);
        row["wavelength_m"] = number(l.line.wavelength_m);
        row["fwhm_m"] = number(l.line.width_m);
        row["q"] = number(l.line.q);
        row["truncation_error_m"] = number(l.line.error_m);
        const auto slope = [&](auto member) { return l.slopes ? number((*l.slopes).*member) : Json(nullptr); };
        row["per_pitch"] = slope(&LineSlopes::per_pitch);
        row["per_size"] = slope(&LineSlopes::per_size);
        row["per_thickness"] = slope(&LineSlopes::per_thickness);
        row["per_index_m"] = slope(&LineSlopes::per_index_m);
        row["wavelength_std_m"] = number(l.deviation_m);
        row["peak_wavelength_m"] = number(l.peak_m);
        row["peak_reflectivity"] = l.peak_m ? number(l.peak_reflectivity) : Json(nullptr);
        row["over_gap"] = line_over_gap_json(l);
        out.push_back(row);
    }
    return out;
}

}  // namespace

void write_table(std::ostream& out, const LightReport& r) {
    write_mirror(out, r);
    write_lines(out, r);
    if (r.stack) write_stack(out, r);
    if (r.warnings.empty()) return;
    out << "\nWARNINGS\n";
    for (const Warning& w : r.warnings) out << "  " << wrapped(out, "! " + w.text, 2, 4) << '\n';
}

void write_csv(std::ostream& out, const LightReport& r) {
    out << "wavelength_m,reflectivity,transmission,error\n";
    const LatticeSpectrum& s = r.spectrum;
    for (std::size_t k = 0; k < s.wavelength_m.size(); ++k)
        out << csv(s.wavelength_m[k]) << ',' << csv(s.reflectivity[k]) << ',' << csv(s.transmission[k]) << ','
            << csv(s.error[k]) << '\n';
}

void write_json(std::ostream& out, const LightReport& r) {
    Json root = json_head(r.title, r.sha256);
    root["wavelength_m"] = number(r.wavelength_m);
    root["thickness_m"] = number(r.released.thickness_m);
    root["film_loss"] = film_loss_json(r.released.taken);
    root["reflectivity"] = number(r.mean.reflectivity);
    root["transmission"] = number(r.mean.transmission);
    root["absorption"] = number(r.mean.absorption);
    root["diffracted_up"] = number(r.mean.diffracted_up);
    root["diffracted_down"] = number(r.mean.diffracted_down);
    root["by_polarisation"] = polarisations_json(r.by_polarisation);
    root["amplitude_reflection"] = complex_json(r.mean.r);
    root["amplitude_transmission"] = complex_json(r.mean.t);
    root["truncation_error"] = number(r.mean.error);
    root["diffracts"] = r.mean.diffracts;
    root["over_gap"] = stack_json(r);
    root["lines"] = lines_json(r);
    root["chance_to_reflect"] = number(r.chance_to_reflect);
    root["spot"] = nullptr;
    if (r.spot)
        root["spot"] = {{"waist_m", number(r.waist_m)},
                        {"reflected_power", number(r.spot->reflected_power)},
                        {"mode_matched", number(r.spot->mode_matched)}};
    root["spectrum"] = {{"wavelength_m", r.spectrum.wavelength_m},
                        {"reflectivity", r.spectrum.reflectivity},
                        {"transmission", r.spectrum.transmission},
                        {"error", r.spectrum.error}};
    root["inputs"] = sources_json(r.sources);
    root["warnings"] = warnings_json(r.warnings);
    print(out, root);
}

}  // namespace tymbal
