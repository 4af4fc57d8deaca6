// The main job: from a design to effective film, modes, loss budget and optomechanical figures.
#pragma once

#include "tymbal/base/warning.h"
#include "tymbal/film/unit_cell.h"
#include "tymbal/grid/solve_effort.h"
#include "tymbal/light/film_light.h"
#include "tymbal/modes/whereabouts.h"
#include "tymbal/readout/readout.h"
#include "tymbal/task/device.h"
#include "tymbal/task/released_film.h"

#include <optional>
#include <string>
#include <vector>

namespace tymbal {

/// How light sees the film, decided in task/seen_film.h.
enum class SeenAs { plain, averaged, lattice, wide_holes };

/// What it sees, and how.
struct LitFilm {
    SeenFilm seen;
    SeenAs as = SeenAs::plain;
    bool diffracts = false;
    std::optional<double> chance_to_reflect{};  ///< where limits.least_chance_to_reflect asks
};

/// The film after release, averaged over the holes.
struct EffectiveFilm {
    std::optional<double> fill_factor;  ///< hole area / cell area; empty without a lattice
    long hole_count = 0;
    double stress_as_deposited_pa = 0.0;
    double stress_relaxed_mean_pa = 0.0;  ///< mean of (sxx + syy)/2 over the film that is there
    double stress_peak_von_mises_pa = 0.0;
    double stress_peak_error_pa = 0.0;  ///< bound of what grids and averaging do to it; what the inputs do is not in it
    /// Macroscopic (open area carries none), mean over the hole field; over the outline without one, or where every
    /// hole is on the grid.
    double tension_x_n_per_m = 0.0;
    double tension_y_n_per_m = 0.0;
    double areal_density_kg_per_m2 = 0.0;      ///< mean over the same
    double youngs_modulus_effective_pa = 0.0;  ///< along the first lattice direction
    double poisson_ratio_effective = 0.0;
    double shear_modulus_effective_pa = 0.0;
    double bending_stiffness_n_m = 0.0;
    double mass_kg = 0.0;                                  ///< of the suspended film
    double edge_layer_m = 0.0;                             ///< sqrt(D/N) at the rim
    std::optional<double> static_stiffness_n_per_m;        ///< needs a readout spot
    std::optional<double> static_stiffness_error_n_per_m;  ///< of the grids, where it is known
    /// Largest deflection of the film per pressure difference between its faces, which acts on the film that is there
    /// and not on its holes.
    double deflection_per_pressure_m_per_pa = 0.0;
    std::optional<double> deflection_per_pressure_error_m_per_pa;  ///< of the grids, where it is known
    double fracture_margin = 0.0;                                  ///< strength / peak stress
    double outline_area_m2 = 0.0;
};

struct PredictedMode {
    Mode mode;
    LossBudget losses;
    ModeFigures figures;
    Whereabouts where;
};

/// One line of the list of inputs and where they come from.
struct SourceLine {
    std::string quantity;
    double value = 0.0;
    double deviation = 0.0;
    std::string unit;    ///< SI
    std::string source;  ///< citation and how it was obtained
};

/// A limit of the design and how far the prediction is from it.
struct LimitCheck {
    std::string key;     ///< e.g. "limits.least_ligament"
    double limit = 0.0;  ///< SI
    double value = 0.0;  ///< SI
    std::string unit;
    bool held = true;
};

/// The modes of a design with their losses, what they rest on and what is to be said of them.
struct PredictedModes {
    std::vector<PredictedMode> modes;
    std::vector<SourceLine> sources;
    Warnings warnings;
};

/// What is left to say of a flat film that is not stable.
struct UnstablePrediction {
    std::string title;
    std::string sha256;
    std::string why;
    double stress_as_deposited_pa = 0.0;
    double buckling_stress_pa = 0.0;  ///< deposited stress at which it would just be stable
    double buckling_stress_error_pa = 0.0;
};

struct Prediction {
    std::string title;
    std::string sha256;
    std::string model;         ///< "averaged" or "resolved"
    std::string model_reason;  ///< why `auto` chose it
    bool by_splines = false;   ///< resolved, and solved as a plate in tension: see ModeSet::cut_stress
    ReleasedFilm released;
    EffectiveFilm film;
    std::vector<PredictedMode> modes;
    bool whereabouts_asked = false;  ///< by a frequency to be near to, or a radius
    std::optional<LitFilm> slab;     ///< film alone at the readout wavelength
    std::vector<SourceLine> sources;
    std::vector<LimitCheck> limits;
    std::optional<double> collapse_margin;  ///< where limits.least_collapse_margin asks; infinite without a meniscus
    Warnings warnings;
    int grid_cells = 0;  ///< unknowns on the finest grid
};

/// How a prediction is worked out; but for `brief`, its numbers do not depend on it.
struct Effort {
    CellSolver cells = solve_cell;      ///< or one that remembers, film/cell_memo.h
    bool own_threads = true;            ///< false where many predictions run beside each other
    bool brief = false;                 ///< modes from three grids only, see ModeProblem
    SolveEffort large{};                ///< of the resolved model
    LatticeSolver light = see_lattice;  ///< or one that remembers, light/light_memo.h
};

/// @throws NoAnswer   compressed or buckled film, or a model that does not apply
[[nodiscard]] Prediction predict(const Device& device, const Materials& materials, const Effort& effort = {});

/// For a design that predict refuses with UnstableFilm. @param why  that error's words; the stress that would do is
/// added for films in tension
[[nodiscard]] UnstablePrediction predict_unstable(const Device& device, const std::string& why);

}  // namespace tymbal
