// `tymbal release`: from drawn holes to the membrane that hangs free, and what the acid and the drying do to it.
#pragma once

#include "tymbal/geometry/pillars.h"
#include "tymbal/release/drying.h"
#include "tymbal/task/device.h"
#include "tymbal/task/predict.h"
#include "tymbal/task/progressed.h"
#include "tymbal/task/released_film.h"

#include <optional>
#include <string>
#include <vector>

namespace tymbal {

/// Oxide that still stands between the holes at the design's undercut.
struct Pillar {
    Point centre;  ///< of its bounding box
    double area_m2 = 0.0;
    double width_m = 0.0;  ///< of a disc of the same area
};

/// The fronts at the design's undercut, and at which undercut they meet and clear.
struct FrontReport {
    std::optional<Sourced<Length>> undercut;
    double merges_at_m = 0.0;              ///< from here on the fronts are one region
    double clears_at_m = 0.0;              ///< from here on no oxide stands between the holes; 0: none ever does
    std::optional<Point> last_oxide;       ///< where it goes last
    int regions = 0;                       ///< at the undercut; 0 when that is not known
    std::vector<Pillar> pillars;           ///< largest first
    double area_m2 = 0.0;                  ///< set free at the undercut, holes included
    double width_m = 0.0, height_m = 0.0;  ///< of that area
    double field_width_m = 0.0, field_height_m = 0.0;  ///< outermost hole edge to edge
    std::optional<double> rim_short_m;  ///< window outlines: by how much the front misses the farthest rim point
};

/// One end of the time window.
struct WindowEnd {
    std::string limit;  ///< design key
    double time_s = 0.0;
    double early_s = 0.0;  ///< two sigmas of the rates earlier
};

struct EtchReport {
    std::string etchant;  ///< row, or the name the design has for its own bath; empty: only rates are given
    std::string title, hazard, sacrificial;
    Sourced<Speed> rate;
    std::optional<Sourced<Speed>> film_rate;
    double time_s = 0.0, time_deviation_s = 0.0;  ///< to the design's undercut
    double clear_s = 0.0, clear_late_s = 0.0;     ///< last oxide gone: expected, and two sigmas later
    std::optional<FilmLoss> loss;
    double deposited_m = 0.0;                               ///< thickness
    double at_holes_m = 0.0, mean_m = 0.0, at_rim_m = 0.0;  ///< thickness left
    std::vector<WindowEnd> ends;                            ///< earliest first
};

/// The same undercut in every etchant of the table that attacks the sacrificial layer.
struct AcidRow {
    std::string row, hazard;
    double time_s = 0.0;
    std::optional<double> selectivity;      ///< sacrificial over film
    std::optional<double> loss_per_face_m;  ///< of the upper face
};

struct DryingRow {
    std::string row, title, hazard;
    double surface_tension_n_per_m = 0.0;
    std::optional<double> margin;           ///< critical over actual surface tension; empty: no meniscus
    double margin_deviation = 0.0;          ///< from film stress and thickness and the liquid
    std::optional<double> adhesion_margin;  ///< adhesion from which it lets go over the adhesion left
    double adhesion_deviation = 0.0;        ///< of that margin
};

/// What only a solved film can tell.
struct FreeFilmReport {
    double frequency_hz = 0.0;                       ///< lowest mode, one grid
    double frequency_error = 0.0;                    ///< relative, against a coarser grid
    std::optional<double> shift_per_undercut_per_m;  ///< d ln f / d undercut; empty for window outlines
    double critical_tension_local =
        0.0;  ///< surface tension, N/m, both faces wetted fully: each place its own meniscus
    double critical_tension_connected = 0.0;  ///< one pressure everywhere
    double collapse_deflection_m = 0.0;
    double releasing_adhesion_j_per_m2 = 0.0;
    double stress_peak_pa = 0.0, stress_peak_error_pa = 0.0;
    double fracture_margin = 0.0, fracture_margin_deviation = 0.0;
};

struct ReleaseReport {
    std::string title, sha256;
    double gap_m = 0.0;
    std::optional<HoleSizes> holes;  ///< empty, like all that follows from holes, for a film without
    std::optional<double> ligament_m;
    std::optional<FrontReport> front;
    std::optional<FieldFit> field;  ///< where the design gives the field's extent
    std::optional<EtchReport> etch;
    std::vector<AcidRow> acids;
    std::optional<FreeFilmReport> film;
    std::string chosen_drying;  ///< row of the design, empty when it names none
    std::vector<DryingRow> drying;
    std::vector<LimitCheck> limits;
    std::vector<SourceLine> sources;
    Warnings warnings;
};

/// A film without holes over a gap has drying and stress alone. @throws NoAnswer without [release]
/// @param cells  the numbers do not depend on it
[[nodiscard]] ReleaseReport release(const Device& device, const Materials& materials, const Progressed& progressed = {},
                                    const CellSolver& cells = solve_cell);

}  // namespace tymbal
