#include "tymbal/task/predict.h"

#include "tymbal/base/error.h"
#include "tymbal/modes/buckling.h"
#include "tymbal/readout/refractive_index.h"
#include "tymbal/task/laid_film.h"
#include "tymbal/task/seen_film.h"
#include "tymbal/task/solved.h"
#include "tymbal/task/static_answers.h"
#include "tymbal/task/stress_map.h"
#include "tymbal/task/uncertainty.h"

#include "../base/plain.h"
#include "chance_to_reflect.h"
#include "doubts.h"
#include "effective_film.h"
#include "film_in_cavity.h"
#include "film_warnings.h"
#include "limits.h"
#include "model_choice.h"
#include "patch_loss.h"
#include "sources.h"
#include "wet_film.h"

#include <cmath>
#include <iterator>
#include <utility>

namespace tymbal {

namespace {

std::optional<LitFilm> see_slab(const Device& device, const LatticeSolver& light, Warnings& warnings) {
    if (!device.readout) return std::nullopt;
    const double wavelength = device.readout->wavelength.si();
    if (!index_at(device.film.index, wavelength).inside)
        warnings.push_back({"index-range",
                            "the readout wavelength lies outside the range of the film's index data; the "
                            "reflectivity is extrapolated"});
    std::optional<LitFilm> film = see_film(device, wavelength, light);
    if (!film) {
        warnings.push_back({"layer-index", "a layer's material row has no refractive index; light is left out"});
        return std::nullopt;
    }
    warn_of_light(device, *film, warnings);
    if (device.limits.least_chance_to_reflect)
        film->chance_to_reflect =
            chance_to_reflect(device, wavelength, device.limits.least_reflectivity.value_or(0.0), light);
    return film;
}

/// The coupling at the place that `cavity` finds for the film.
std::optional<CavityCoupling> couple(const Device& device, const LatticeSolver& light, Warnings& warnings) {
    if (!device.cavity || !device.readout) return std::nullopt;
    const auto film = film_amplitudes(device, device.readout->wavelength.si(), light);
    if (!film) return std::nullopt;
    try {
        const CavityPoint at = along_half_wavelength(cavity_optics(device, *film), *film, cavity_points).place;
        return CavityCoupling{std::abs(at.linear_coupling_hz_per_m), at.kappa_hz, device.cavity->waist.si()};
    } catch (const NoAnswer& e) {
        warnings.push_back({"cavity-resonance", std::string("the coupling to the cavity is left out: ") + e.what()});
        return std::nullopt;
    }
}

std::vector<PredictedMode> modes_with_losses(const ModeSet& set, const Device& device, const LossInputs& inputs,
                                             const std::optional<CavityCoupling>& cavity) {
    const auto radius = device.solve.within ? std::optional(device.solve.within->si()) : std::nullopt;
    std::vector<PredictedMode> complete;
    for (std::size_t k = 0; k < set.modes.size(); ++k) {
        const Mode& mode = set.modes[k];
        const Film bent = film_as_bent(device.film, device.patches, mode);
        const LossInputs here{bent,        inputs.substrate,     inputs.chip_thickness, inputs.surroundings,
                              inputs.gap,  inputs.areal_density, inputs.outline_area,   inputs.outline_perimeter,
                              inputs.pitch};
        LossBudget losses = loss_budget(mode, here);
        const ModeFigures figures = see(mode, losses, device.film.temperature.si(), device.readout, cavity);
        complete.push_back({mode, std::move(losses), figures, whereabouts(set, k, radius)});
    }
    return complete;
}

/// The collapse margin if the design limits it: it takes a solution of its own.
std::optional<double> limited_collapse(const Device& device, const FilmOnOutline& laid, Warnings& warnings) {
    if (!device.limits.least_collapse_margin) return std::nullopt;
    std::string why = "the design names no liquid as release.drying";
    try {
        const bool resolved = !laid.film.openings.empty();
        if (const auto margin = collapse_margin(device, resolved ? lay_out_coarsely(device, solve_cell) : laid))
            return margin;
    } catch (const NoAnswer& e) {
        why = e.what();
    }
    warnings.push_back({"limit-unchecked", "limits.least_collapse_margin is not checked: " + why});
    return std::nullopt;
}

void append(Warnings& to, Warnings from) {
    std::move(from.begin(), from.end(), std::back_inserter(to));
}

/// The unit cell's own error moves the relaxed tension of the field, a frequency by half of that at most.
void add_cell_error(const FilmOnOutline& laid, ModeSet& set) {
    if (!laid.film.cell) return;
    for (Mode& mode : set.modes) mode.discretisation_error_hz += 0.5 * laid.film.cell->bulk_error * mode.frequency_hz;
}

/// A resolved film is in equilibrium on every grid; the coarsest answers static questions to a few per mille.
void answer_static_questions(const Device& device, const SolvedDesign& solved, bool resolved, Prediction& out) {
    const ModeSet& set = solved.set;
    if (set.cut_stress) return add_static_answers(device, *set.cut_stress, out.film, out.warnings);
    add_static_answers(device, solved.laid, resolved ? set.coarse : set.fine, set.rim, out.film, out.warnings);
}

/// For films in tension; the words on compressed ones name theirs.
std::string stable_with(const CriticalStress& stress) {
    if (stress.pascal < stress.error)
        return "be stable only below " + stress_words(stress.pascal + stress.error, 2) + " deposited";
    return "just be stable with " + stress_with_error(stress.pascal, stress.error) + " deposited";
}

}  // namespace

const Solid& substrate_of(const Device& device, const Materials& materials) {
    const std::string row = device.chip ? device.chip->material : "silicon";
    const auto found = materials.solids.find(row);
    if (found == materials.solids.end())
        throw NoAnswer("the material table has no row '" + row +
                       "' for the chip; predict with the table that the design was read with");
    return found->second;
}

LossInputs loss_inputs(const Device& device, const FilmOnOutline& laid, const Solid& substrate) {
    const Length usual_wafer = Length::from_si(525e-6);  // common practice for 100 mm wafers, no published source
    return {device.film,
            substrate,
            device.chip ? device.chip->thickness : usual_wafer,
            device.surroundings,
            device.release ? std::optional<Length>(device.release->gap) : std::nullopt,
            suspended_mass(laid) / laid.outline_area,
            laid.outline_area,
            perimeter(boundary(device.outline)),
            device.holes ? device.holes->pitch.si() : 0.0};
}

SolvedDesign solve(const Device& device, const Effort& effort) {
    SolvedDesign solved{lay_out(device, effort.cells), {}};
    std::optional<PushingSpot> spot;
    if (device.readout) spot = {device.readout->position, device.readout->spot_radius.si()};
    solved.set = find_modes({device.outline, solved.laid.film, device.solve.modes, device.solve.accuracy, effort.brief,
                             effort.own_threads, effort.large, device.solve.near_hz, spot});
    add_cell_error(solved.laid, solved.set);
    add_uncertainties(device, solved.laid, effort, solved.set);
    return solved;
}

PredictedModes complete_modes(const Device& device, const Materials& materials, const SolvedDesign& solved,
                              const LatticeSolver& light) {
    const Solid& substrate = substrate_of(device, materials);
    const LossInputs inputs = loss_inputs(device, solved.laid, substrate);
    PredictedModes out;
    out.modes = modes_with_losses(solved.set, device, inputs, couple(device, light, out.warnings));
    std::vector<LossBudget> budgets;
    for (const PredictedMode& m : out.modes) budgets.push_back(m.losses);
    append(out.warnings, loss_warnings(budgets, inputs));
    out.sources = list_sources(device, substrate);
    return out;
}

Prediction complete(const Device& device, const Materials& materials, const SolvedDesign& solved,
                    const LatticeSolver& light) {
    return complete(device, materials, solved, stress_map(device.outline, solved.laid.film, solved.set.fine), light);
}

Prediction complete(const Device& device, const Materials& materials, const SolvedDesign& solved,
                    const StressMap& stress, const LatticeSolver& light) {
    const FilmOnOutline& laid = solved.laid;
    const ModeSet& set = solved.set;
    Prediction out;
    out.title = device.title;
    out.sha256 = device.sha256;
    const ModelChoice model = choose_model(device);
    out.model = model.resolved ? "resolved" : "averaged";
    out.model_reason = model.reason;
    out.by_splines = set.cut_stress.has_value();
    out.released = released_film(device);
    out.film = effective_film(device, laid, set.fine, stress);
    if (model.resolved) take_grids_stress(set, out.film);
    out.warnings = set.warnings;
    answer_static_questions(device, solved, model.resolved, out);
    append(out.warnings, validity_warnings(device, laid, set, out.film));
    append(out.warnings, layer_warnings(device.film));
    append(out.warnings, patch_warnings(device, out.film));
    out.slab = see_slab(device, light, out.warnings);
    PredictedModes told = complete_modes(device, materials, solved, light);
    out.modes = std::move(told.modes);
    out.whereabouts_asked = device.solve.near_hz > 0.0 || device.solve.within;
    append(out.warnings, std::move(told.warnings));
    out.collapse_margin = limited_collapse(device, laid, out.warnings);
    out.limits = check_limits(device, out.film, out.modes, out.slab, out.collapse_margin);
    append(out.warnings, unchecked_limits(device, out.limits));
    out.sources = std::move(told.sources);
    append(out.warnings, doubtful_inputs(out.sources, device.film_loss.has_value()));
    out.grid_cells = static_cast<int>(set.unknowns);
    return out;
}

Prediction predict(const Device& device, const Materials& materials, const Effort& effort) {
    return complete(device, materials, solve(device, effort), effort.light);
}

UnstablePrediction predict_unstable(const Device& device, const std::string& why) {
    const FilmOnOutline laid = lay_out(device, solve_cell);
    const CriticalStress stress =
        buckling_stress({device.outline, laid.film, device.solve.modes, device.solve.accuracy});
    std::string words = why;
    if (laid.film.stress > 0.0) words += "; all else kept, the flat film would " + stable_with(stress);
    return {device.title, device.sha256, std::move(words), laid.film.stress, stress.pascal, stress.error};
}

}  // namespace tymbal
