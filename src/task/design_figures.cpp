#include "tymbal/task/design_figures.h"

#include "tymbal/geometry/pillars.h"

#include "holes_in_place.h"
#include "limits.h"

#include <algorithm>

namespace tymbal {

namespace {

bool limited_roughly(const LossBudget& losses) {
    return std::any_of(losses.terms.begin(), losses.terms.end(), [&](const LossTerm& term) {
        return term.name == losses.limited_by && term.trust == Trust::order_of_magnitude;
    });
}

ModeFigure figure_of(const PredictedMode& p) {
    return {p.mode.label,
            p.mode.frequency_hz,
            p.mode.frequency_std_hz,
            p.mode.discretisation_error_hz,
            p.losses.total,
            p.losses.limited_by,
            limited_roughly(p.losses),
            p.figures.qf_hz,
            p.figures.single_photon_coupling_hz,
            p.figures.single_photon_cooperativity};
}

}  // namespace

ReleaseFigures release_figures(const Device& device) {
    if (!device.release || !device.holes) return {};
    const std::optional<Sourced<Length>> undercut = undercut_of(*device.release, device.film.material);
    if (!undercut) return {};
    ReleaseFigures out;
    const std::optional<EtchPair> pair = etch_pair(*device.release, device.film.material);
    if (device.release->time)
        out.release_time_s = device.release->time->si();
    else if (pair)
        out.release_time_s = time_for(*pair, undercut->si());
    if (device.film_loss) out.film_loss_m = device.film_loss->mean();
    const Clearing cleared = clearing(holes_in_place(device));
    const double clears_at = cleared.spots.empty() ? cleared.merges_at : cleared.spots.front().clears_at;
    out.over_etch_m = undercut->si() - clears_at;
    return out;
}

DesignFigures design_figures(const Device& device, const Materials& materials, const Effort& effort) {
    const Prediction p = predict(device, materials, effort);
    DesignFigures out;
    out.fill_factor = p.film.fill_factor;
    out.hole_count = p.film.hole_count;
    out.stress_relaxed_mean_pa = p.film.stress_relaxed_mean_pa;
    out.stress_peak_von_mises_pa = p.film.stress_peak_von_mises_pa;
    out.fracture_margin = p.film.fracture_margin;
    out.ligament_m = least_ligament_m(device);
    out.static_stiffness_n_per_m = p.film.static_stiffness_n_per_m;
    out.mass_kg = p.film.mass_kg;
    if (p.slab) {
        out.reflectivity = p.slab->seen.reflectivity;
        out.chance_to_reflect = p.slab->chance_to_reflect;
    }
    out.release = release_figures(device);
    out.collapse_margin = p.collapse_margin;
    for (const PredictedMode& m : p.modes) out.modes.push_back(figure_of(m));
    const PredictedMode& target = target_mode(device, p.modes);
    out.target = static_cast<std::size_t>(target.mode.index - 1);
    out.contributions = target.mode.contributions;
    for (const Warning& w : p.warnings) out.warnings.push_back(w.code);
    return out;
}

}  // namespace tymbal
