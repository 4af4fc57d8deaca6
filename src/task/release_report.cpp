#include "tymbal/task/release_report.h"

#include "tymbal/base/error.h"
#include "tymbal/geometry/boundary.h"
#include "tymbal/task/laid_film.h"
#include "tymbal/task/solved.h"
#include "tymbal/task/stress_map.h"

#include "../base/plain.h"
#include "doubts.h"
#include "effective_film.h"
#include "etch_report.h"
#include "holes_in_place.h"
#include "limits.h"
#include "release_warnings.h"
#include "sources.h"
#include "wet_film.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace tymbal {

namespace {

double lowest(const Level& level) {
    return std::sqrt(level.corrected(0)) / (2.0 * std::acos(-1.0));
}

template <class Q>
double spread(const Sourced<Q>& value) {
    return value.si() != 0.0 ? value.deviation_si() / std::abs(value.si()) : 0.0;
}

/// From a second film whose front has gone a tenth further: the wider solid rim also raises the tension, which
/// Hadamard's formula for the moved rim leaves out (15 % on a small field).
std::optional<double> shift_per_undercut(const Device& device, const CellSolver& cells, double frequency) {
    const Released* released = std::get_if<Released>(&device.outline);
    if (released == nullptr) return std::nullopt;
    const double more = 0.1 * released->undercut.si();
    const Sourced<Length> further(Length::from_si(released->undercut.si() + more), Length{},
                                  released->undercut.source());
    Device grown = device;
    grown.outline = set_free(holes_in_place(device), further);
    const FilmOnOutline laid = lay_out_coarsely(grown, cells);
    return std::log(lowest(solve_once(grown, laid, release_cells)) / frequency) / more;
}

FreeFilmReport free_film(const Device& device, const CellSolver& cells) {
    const FilmOnOutline laid = lay_out_coarsely(device, cells);
    require_visible(device, laid);
    const Level level = solve_once(device, laid, release_cells);
    FreeFilmReport out;
    out.frequency_hz = lowest(level);
    out.frequency_error = std::abs(lowest(solve_once(device, laid, coarser_release_cells)) / out.frequency_hz - 1.0);
    out.shift_per_undercut_per_m = shift_per_undercut(device, cells, out.frequency_hz);
    const WetFilm wet = wet_film(device, laid, level);
    const CollapseLimits limits = collapse_limits(wet);
    out.critical_tension_local = 0.5 * limits.local_strength;
    out.critical_tension_connected = 0.5 * limits.connected_strength;
    out.collapse_deflection_m = limits.local_deflection;
    const double open = laid.hole_area / laid.outline_area;
    out.releasing_adhesion_j_per_m2 = releasing_adhesion(wet, 1.0 - open);
    const EffectiveFilm film = effective_film(device, laid, level, stress_map(device.outline, laid.film, level));
    out.stress_peak_pa = film.stress_peak_von_mises_pa;
    out.stress_peak_error_pa = film.stress_peak_error_pa;
    out.fracture_margin = film.fracture_margin;
    out.fracture_margin_deviation =
        film.fracture_margin * std::hypot(spread(device.film.strength), spread(device.film.stress));
    return out;
}

std::vector<DryingRow> drying_rows(const Materials& materials, const Film& deposited, const FreeFilmReport& film) {
    std::vector<DryingRow> rows;
    const double tension = std::hypot(spread(deposited.stress), spread(deposited.thickness));
    for (const auto& [name, liquid] : materials.liquids) {
        DryingRow row;
        row.row = name;
        row.title = liquid.title;
        row.hazard = liquid.hazard;
        row.surface_tension_n_per_m = liquid.surface_tension.si();
        if (liquid.surface_tension.si() > 0.0) {
            row.margin = film.critical_tension_local / liquid.surface_tension.si();
            row.margin_deviation = *row.margin * std::hypot(tension, spread(liquid.surface_tension));
        }
        if (liquid.adhesion) {
            row.adhesion_margin = film.releasing_adhesion_j_per_m2 / liquid.adhesion->si();
            row.adhesion_deviation = *row.adhesion_margin * std::hypot(tension, spread(*liquid.adhesion));
        }
        rows.push_back(row);
    }
    return rows;
}

void add_limits(const Device& device, ReleaseReport& out) {
    const Limits& limits = device.limits;
    const auto at_most = [&](const char* key, double limit, double value, const char* unit) {
        out.limits.push_back({key, limit, value, unit, value <= limit});
    };
    if (limits.least_ligament && out.ligament_m)
        out.limits.push_back({"limits.least_ligament", limits.least_ligament->si(), *out.ligament_m, "m",
                              *out.ligament_m >= limits.least_ligament->si()});
    if (limits.least_fracture_margin && out.film)
        out.limits.push_back({"limits.least_fracture_margin", *limits.least_fracture_margin, out.film->fracture_margin,
                              "1", out.film->fracture_margin >= *limits.least_fracture_margin});
    if (limits.largest_release_time && out.etch && out.etch->time_s > 0.0)
        at_most("limits.largest_release_time", limits.largest_release_time->si(), out.etch->time_s, "s");
    if (limits.largest_film_loss && device.film_loss)
        at_most("limits.largest_film_loss", limits.largest_film_loss->si(), device.film_loss->mean(), "m");
    if (limits.largest_over_etch && out.front && out.front->undercut)
        at_most("limits.largest_over_etch", limits.largest_over_etch->si(),
                std::max(0.0, out.front->undercut->si() - out.front->clears_at_m), "m");
    for (const DryingRow& row : out.drying) {
        if (!limits.least_collapse_margin || row.row != out.chosen_drying) continue;
        const double margin = row.margin.value_or(std::numeric_limits<double>::infinity());  // no meniscus
        out.limits.push_back({"limits.least_collapse_margin", *limits.least_collapse_margin, margin, "1",
                              margin >= *limits.least_collapse_margin});
    }
}

void add_window_warnings(const EtchReport& etch, Warnings& out) {
    if (etch.ends.empty()) return;
    if (etch.ends.front().early_s < etch.clear_late_s)
        out.push_back({"window-closed",
                       "with the rates two standard deviations off, " + etch.ends.front().limit +
                           " may be reached before the last oxide is gone; narrow the rate on a test piece, or give "
                           "the design more room (denser holes, looser limit)"});
}

void add_front_warnings(const FrontReport& front, Warnings& out) {
    if (!front.undercut) {
        out.push_back({"undercut-unknown",
                       "the design gives neither undercut nor a time with an etchant; say one of them to see the "
                       "membrane it sets free"});
        return;
    }
    if (front.undercut->si() < 0.0)
        out.push_back({"no-undercut", "in the time given the front does not get ahead of the hole's own edge"});
    if (front.regions > 1)
        out.push_back(
            {"regions", "the fronts have not met: " + std::to_string(front.regions) + " separate regions hang free"});
}

/// The liquid that the design is dried from pulls the film down, or may within two standard deviations.
void add_drying_warning(const std::string& chosen, const std::vector<DryingRow>& rows, Warnings& out) {
    for (const DryingRow& row : rows) {
        if (row.row != chosen || !row.margin || *row.margin - 2.0 * row.margin_deviation >= 1.0) continue;
        const bool free_again = row.adhesion_margin && *row.adhesion_margin > 1.0;
        out.push_back({"drying-collapse", std::string("drying from ") + row.row +
                                              (*row.margin < 1.0 ? " pulls the film down to the bottom of its gap"
                                                                 : " may pull the film down to the bottom of its gap") +
                                              " (margin " + plain(*row.margin, 2) + " +- " +
                                              plain(row.margin_deviation, 1) + ")" +
                                              (free_again ? ", from which it comes free" : "") +
                                              "; dry from a liquid of lower surface tension or from the critical "
                                              "point, or make gap or stress larger"});
    }
}

/// What follows from the holes: their sizes, the fronts round them and the bath.
void add_etch(const Device& device, const Materials& materials, const Progressed& progressed, ReleaseReport& out) {
    const PlacedHoles holes = holes_in_place(device);
    // Fronts take time with their holes, the film does not: as measured at 600, 7000 and 46 000 holes.
    const double count = static_cast<double>(holes.centres.size()), holes_share = count / (count + 2e4);
    const FilmLoss loss = device.film_loss.value_or(FilmLoss{});
    out.holes = hole_sizes(device.holes->size, device.process, {loss.above, loss.above * loss.relative_spread});
    out.ligament_m = least_ligament_m(device);
    out.field = field_fit(device);
    out.front = front_report(device, holes);
    tell(progressed, 0.1 * holes_share);
    out.etch = etch_report(device, holes, *out.front);
    tell(progressed, holes_share);
    const double wanted = out.front->undercut ? out.front->undercut->si() : out.front->clears_at_m;
    if (!device.release->sacrificial.empty() && wanted > 0.0) out.acids = compare_acids(device, materials, wanted);
    out.warnings = release_warnings(device);
    add_front_warnings(*out.front, out.warnings);
    if (out.etch) add_window_warnings(*out.etch, out.warnings);
}

}  // namespace

ReleaseReport release(const Device& device, const Materials& materials, const Progressed& progressed,
                      const CellSolver& cells) {
    if (!device.release)
        throw NoAnswer("the design has no section [release]; give the gap, the etchant and the undercut");
    ReleaseReport out;
    out.title = device.title;
    out.sha256 = device.sha256;
    out.gap_m = device.release->gap.si();
    if (device.release->drying) out.chosen_drying = device.release->drying->row;
    if (device.holes)
        add_etch(device, materials, progressed, out);
    else
        out.warnings.push_back({"no-holes",
                                "the film has no holes: how the space under it was made is not said here, only what "
                                "drying does to the film over its gap"});
    try {
        out.film = free_film(device, cells);
        out.drying = drying_rows(materials, device.film, *out.film);
        add_drying_warning(out.chosen_drying, out.drying, out.warnings);
    } catch (const NoAnswer& e) {
        out.warnings.push_back({"not-solved", std::string("frequency, drying and stress are left out: ") + e.what()});
    }
    tell(progressed, 1.0);
    add_limits(device, out);
    out.sources = list_sources(device, substrate_of(device, materials));
    for (const Warning& doubt : doubtful_inputs(out.sources, device.film_loss.has_value()))
        out.warnings.push_back(doubt);
    return out;
}

}  // namespace tymbal
