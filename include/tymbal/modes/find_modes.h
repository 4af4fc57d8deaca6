// Frequencies and shapes of a suspended film, as near to a wanted accuracy as the grids allow: grids chosen, solved,
// extrapolated.
#pragma once

#include "tymbal/film/film_map.h"
#include "tymbal/film/prestress.h"
#include "tymbal/film/resolved_stress.h"
#include "tymbal/grid/solve_effort.h"
#include "tymbal/modes/edge_layer.h"
#include "tymbal/modes/modes.h"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace tymbal {

namespace spline {
struct FilmModes;
}

/// A Gaussian spot of light that pushes the film.
struct PushingSpot {
    Point centre;
    double radius_m = 0.0;  ///< 1/e^2 intensity radius
};

struct ModeProblem {
    Outline outline;
    PaintedFilm film;
    int count = 12;
    /// Relative, on frequencies. Etch fronts begin with three grids from 1e-2 on, else with five.
    double accuracy = 1e-3;
    /// Rectangles: three grids only, whatever the accuracy, for tasks that need many modes soon. Curved rims need their
    /// five grids.
    bool brief = false;
    bool own_thread = true;  ///< solve the finest of the first grids beside the others; the numbers are the same
    SolveEffort effort{};    ///< of the resolved model's large grids; memory_limit and announce count all of them
    double near_hz = 0.0;    ///< the modes nearest to this frequency; 0: the lowest
    std::optional<PushingSpot> spot{};  ///< that CutFilmStress tells the deflection of
};

/// How the clamped rim is treated: see modes/edge_layer.h and RimBending.
enum class RimTreatment {
    thin_layer,  ///< bending layer below the grid: rim moved inwards, corrections by series
    resolved,    ///< tension and bending in full, slope zero on the grid
};

/// Everything one grid knows about the problem.
struct Level {
    int cells_x = 0, cells_y = 0;
    double shift = 0.0;             ///< of the rim, m; 0 when resolved
    Grid grid;                      ///< inside the moved rim
    FilmMap map;                    ///< on `grid`
    TensionField tension;           ///< on its own grid inside the true rim
    FilmMap true_rim_map;           ///< on that grid; empty with `holes_resolved`, where both grids are one
    SparseMatrix pull, bend;        ///< tension and bending parts of the stiffness, N/m
    Vector mass;                    ///< kg
    Vector values;                  ///< omega^2 of the grid problem, rising
    Eigen::MatrixXd shapes;         ///< w' M w = 1
    std::vector<EdgeLayer> layers;  ///< zero when resolved
    Vector interior;                ///< twice the bending energy of each shape away from the clamped layer, 1/s^2
    bool holes_resolved = false;    ///< every hole on the grid: then the shapes follow tension alone, `bend` is zero
    CornerTensor corners;           ///< then: the tension as `pull` has it
    StressPeak peak;                ///< then
    /// Then: how deep each node lies in an opening, m, below zero beside it; far below where only film is near. Nodes
    /// just beyond a free edge belong to the grid, their displacement is no film's.
    std::vector<float> depth;
    std::vector<double> held_film;  ///< then: part of each cell that is film and held
    double loose_area = 0.0;        ///< m^2 of film that openings cut off from the rim, left out
    /// omega^2 of mode k with the layer's corrections.
    [[nodiscard]] double corrected(Eigen::Index k) const;
    /// The film on the tension's grid.
    [[nodiscard]] const FilmMap& tension_map() const { return holes_resolved ? map : true_rim_map; }
};

/// Stress and sag of a film with openings or a ragged rim, from the grids that found its modes.
struct CutFilmStress {
    double mean = 0.0, mean_error = 0.0;  ///< (sxx + syy)/2 over the film that is there, Pa
    StressPeak peak;
    double peak_error = 0.0;            ///< Pa
    double sag = 0.0, sag_error = 0.0;  ///< largest deflection per pressure on the film that is there, m/Pa
    /// Deflection under a force of one that is spread like the problem's spot, weighted by it, m/N; 0: no film there.
    double spot = 0.0, spot_error = 0.0;
};

/// Relative change of omega^2 per relative change of an input, from the Rayleigh quotient with the mode's shape fixed.
struct Sensitivity {
    double stress = 0.0, modulus = 0.0, poisson_ratio = 0.0, thickness = 0.0, density = 0.0;
    double scale = 0.0;   ///< all lateral lengths of the outline together
    double width = 0.0;   ///< rectangles and strips: along x alone
    double height = 0.0;  ///< rectangles and strips: along y alone
    double inner = 0.0;   ///< rings: the inner diameter alone
    double rim = 0.0;     ///< per metre by which the rim moves outwards everywhere, tension and mass kept
};

struct ModeSet {
    std::vector<Mode> modes;                 ///< labels, frequencies with discretisation error, integrals, shapes
    std::vector<Sensitivity> sensitivities;  ///< same order; d ln(omega^2)
    RimTreatment rim = RimTreatment::thin_layer;
    Level coarse;                                  ///< coarsest grid, kept for derivatives by perturbed films; without
                                                   ///< values with `cut_film`
    Level fine;                                    ///< finest grid, kept for static answers; with `cut_film` a picture
    StressPeak peak_before;                        ///< resolved model: of the grid before the finest
    std::vector<std::vector<double>> frequencies;  ///< Hz, one row per grid: the evidence of the extrapolation
    std::vector<double> spacing;                   ///< m, one per grid
    std::optional<CutFilmStress> cut_stress;       ///< of films that tymbal::spline has solved
    std::shared_ptr<const spline::FilmModes> cut_film;  ///< then: its last grids
    std::size_t unknowns = 0;                           ///< of the finest grid that found the modes
    Warnings warnings;
};

/// @throws NoAnswer  buckled film, or a film field that cannot be relaxed
[[nodiscard]] ModeSet find_modes(const ModeProblem& problem);

/// One grid. @param cells_x, cells_y  across the outline's box
[[nodiscard]] Level solve_level(const ModeProblem& problem, int cells_x, int cells_y, RimTreatment rim);

/// omega^2 of a film with ModeSet::cut_stress on one middling grid, for differences between two films.
/// @param first  number of the first mode wanted, from 1
[[nodiscard]] std::vector<double> cut_film_squares(const ModeProblem& problem, int first);

/// omega^2 of the first `count` modes of `level` with another film painted on it and the shapes kept: first order
/// exact.
[[nodiscard]] std::vector<double> rayleigh_quotients(const Level& level, const PaintedFilm& film, int count);

/// omega^2 of a set's modes with another film on it, its openings and the shapes kept: first order exact.
[[nodiscard]] std::vector<double> rayleigh_quotients(const ModeSet& set, const PaintedFilm& film);

/// Sensitivities of all modes of a level.
[[nodiscard]] std::vector<Sensitivity> sensitivities(const Level& level, const ModeProblem& problem, RimTreatment rim);

}  // namespace tymbal
