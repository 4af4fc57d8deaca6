#include "tymbal/task/tune_line.h"

#include "tymbal/base/error.h"
#include "tymbal/task/seen_film.h"

#include "../base/plain.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

constexpr int most_rounds = 6;
constexpr double near_enough_m = 2e-11;  // a tenth of what truncation leaves

std::string nanometres(double metres, int digits = 6) {
    return plain(1e9 * metres, digits).append(" nm");
}

/// The film after so much was taken off every face, and before it if its thickness is another than the design's.
Device etched(const Device& device, double thickness_m, double per_face_m) {
    Device out = device;
    const Sourced<Length>& h = device.film.thickness;
    out.film.thickness = {Length::from_si(thickness_m - 2.0 * per_face_m), h.deviation(), h.source()};
    out.film.own_thickness = out.film.thickness.value();
    const Sourced<Length>& size = device.holes->size;
    out.holes->size = {Length::from_si(size.si() + 2.0 * per_face_m), size.deviation(), size.source()};
    return out;
}

LayeredFilmAt film_of(const Device& device) {
    return [&device](double wavelength_m) { return LayeredFilm{solid_layers(device.film, wavelength_m)}; };
}

WavelengthRange range_round(const Device& device, double from_m, double to_m) {
    constexpr double beyond = 0.04;
    const double limit = diffraction_limit_m(lattice_of(*device.holes)) * (1.0 + 1e-6);
    return {std::max(limit, (1.0 - beyond) * std::min(from_m, to_m)), (1.0 + beyond) * std::max(from_m, to_m)};
}

bool alike(const ResonanceLine& a, const ResonanceLine& b) {
    return a.guided == b.guided && a.even == b.even && a.field == b.field;
}

/// The line of the same kind next to a wavelength.
ResonanceLine line_near(const Device& device, const ResonanceLine& kind, double wavelength_m, WavelengthRange range) {
    std::optional<ResonanceLine> best;
    for (const ResonanceLine& line : find_lines(lattice_of(*device.holes), film_of(device), range))
        if (alike(line, kind) &&
            (!best || std::abs(line.wavelength_m - wavelength_m) < std::abs(best->wavelength_m - wavelength_m)))
            best = line;
    if (!best) throw NoAnswer("the line is lost on its way to " + nanometres(wavelength_m));
    return *best;
}

/// The line that is meant, with its slopes.
LightLine pick_line(const LightReport& seen, const TuneRequest& request) {
    const LightLine* best = nullptr;
    const auto off = [&](const LightLine& l) {
        return std::abs(l.line.wavelength_m - request.measured_m.value_or(request.to_m));
    };
    for (const LightLine& l : seen.lines) {
        const bool meant = request.measured_m || l.line.wavelength_m > request.to_m;
        if (meant && l.slopes && (best == nullptr || off(l) < off(*best))) best = &l;
    }
    if (best == nullptr)
        throw NoAnswer("no line lies to the red of " + nanometres(request.to_m) +
                       ", and an etch moves lines to the blue only; begin with a thicker film or a larger pitch");
    return *best;
}

double per_face_slope(const LineSlopes& s) {
    return 2.0 * (s.per_size - s.per_thickness);
}

/// The thickness that puts the line where it was measured.
double thickness_for(const Device& device, const LightLine& start, double measured_m) {
    constexpr double strange = 0.1;  // of the wavelength: so far off it is no line of this film
    if (std::abs(measured_m - start.line.wavelength_m) > strange * start.line.wavelength_m)
        throw InputError({}, "line",
                         "is " + nanometres(measured_m, 4) + ", far from the line that is meant, at " +
                             nanometres(start.line.wavelength_m, 4) + "; give where that line was measured");
    const WavelengthRange range = range_round(device, measured_m, start.line.wavelength_m);
    double thickness = device.film.thickness.si(), at = start.line.wavelength_m;
    for (int round = 0; round < most_rounds && std::abs(at - measured_m) > near_enough_m; ++round) {
        thickness += (measured_m - at) / start.slopes->per_thickness;
        at = line_near(etched(device, thickness, 0.0), start.line, measured_m, range).wavelength_m;
    }
    return thickness;
}

/// Newton's steps with the slope of the start; the line is solved at each.
void bring(const Device& device, const LightLine& start, TuneReport& out) {
    const double slope = per_face_slope(*start.slopes);
    const WavelengthRange range =
        range_round(device, out.asked.to_m, out.asked.measured_m.value_or(start.line.wavelength_m));
    double at = out.asked.measured_m.value_or(start.line.wavelength_m);
    ResonanceLine now = start.line;
    for (int round = 0; round < most_rounds && std::abs(at - out.asked.to_m) > near_enough_m; ++round) {
        out.per_face_m += (out.asked.to_m - at) / slope;
        if (!(out.per_face_m < 0.5 * out.thickness_m)) throw NoAnswer("no film would be left when the line is there");
        now = line_near(etched(device, out.thickness_m, out.per_face_m), start.line, out.asked.to_m, range);
        at = now.wavelength_m;
    }
    out.line_after_m = now.wavelength_m;
    out.width_after_m = now.width_m;
}

void add_baths(const Device& device, const Materials& materials, TuneReport& out) {
    for (const auto& [row, etchant] : materials.etchants) {
        const auto found = etchant.rates.find(device.film.material);
        if (found == etchant.rates.end() || !(found->second.si() > 0.0)) continue;
        const Sourced<Speed>& rate = found->second;
        const double minutes = out.per_face_m / rate.si() / 60.0;
        out.baths.push_back({row, etchant.title, etchant.hazard, minutes, minutes * rate.deviation_si() / rate.si(),
                             rate.source().citation + " [" + to_string(rate.source().origin) + "]"});
    }
    if (out.baths.empty())
        throw NoAnswer("no etchant of the material table has a rate on '" + device.film.material + "'");
    std::sort(out.baths.begin(), out.baths.end(),
              [](const TuneBath& a, const TuneBath& b) { return a.minutes < b.minutes; });
}

void add_modes(const Device& device, const Materials& materials, TuneReport& out) {
    constexpr std::size_t shown = 3;
    const auto modes = [&](const Device& d) {
        Device few = d;
        few.solve.modes = static_cast<int>(shown);
        return predict(few, materials).modes;
    };
    const std::vector<PredictedMode> before = modes(etched(device, out.thickness_m, 0.0));
    const std::vector<PredictedMode> after = modes(etched(device, out.thickness_m, out.per_face_m));
    for (std::size_t k = 0; k < std::min(before.size(), after.size()); ++k)
        out.modes.push_back({after[k].mode.label, before[k].mode.frequency_hz, after[k].mode.frequency_hz});
}

void require_tunable(const Device& device) {
    if (!device.holes) throw NoAnswer("a film without holes has no line to bring to the laser");
    if (!device.film.layers.empty())
        throw NoAnswer("the film carries layers; what an etch takes of them is not known, so no time is given");
}

void warn(const Device& device, const LightReport& seen, TuneReport& out) {
    out.warnings = seen.warnings;
    if (device.release)
        out.warnings.push_back(
            {"front-goes-on",
             "a bath that takes the film takes the layer below faster: the front under the film goes "
             "on, and what it sets free is not the design's any more; see tymbal release"});
    if (out.line_after_std_m > 0.5 * out.width_after_m)
        out.warnings.push_back({"wide-aim", "the line will lie within " + nanometres(out.line_after_std_m, 2) +
                                                " (one sigma) of the laser, and is " +
                                                nanometres(out.width_after_m, 3) +
                                                " wide: measure it, etch less than the time given, measure again"});
}

}  // namespace

TuneReport tune_line(const Device& device, const Materials& materials, const TuneRequest& request) {
    require_tunable(device);
    const LightReport seen = light(device, materials);
    const LightLine start = pick_line(seen, request);
    TuneReport out;
    out.title = device.title;
    out.sha256 = device.sha256;
    out.asked = request;
    out.line = start.line;
    out.thickness_m =
        request.measured_m ? thickness_for(device, start, *request.measured_m) : device.film.thickness.si();
    if (request.measured_m.value_or(start.line.wavelength_m) < request.to_m)
        throw NoAnswer("the line lies at " + nanometres(request.measured_m.value_or(start.line.wavelength_m)) +
                       " and would have to move to the red; an etch moves it to the blue only");
    bring(device, start, out);
    out.thickness_after_m = out.thickness_m - 2.0 * out.per_face_m;
    out.hole_after_m = device.holes->size.si() + 2.0 * out.per_face_m;
    out.stress_pa = device.film.stress.si();
    add_baths(device, materials, out);
    double spread = 0.0;  // of the bath whose rate is known worst: any of them may be taken
    for (const TuneBath& bath : out.baths) spread = std::max(spread, bath.minutes_std / std::max(bath.minutes, 1e-12));
    const double by_rate = std::abs(per_face_slope(*start.slopes)) * out.per_face_m * spread;
    out.line_after_std_m = std::hypot(by_rate, request.measured_m ? 0.0 : start.deviation_m.value_or(0.0));
    add_modes(device, materials, out);
    warn(device, seen, out);
    return out;
}

}  // namespace tymbal
