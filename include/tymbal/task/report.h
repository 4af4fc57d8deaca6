// `tymbal report`: everything that the page about one design shows, as plain data.
#pragma once

#include "tymbal/geometry/boundary.h"
#include "tymbal/task/cavity.h"
#include "tymbal/task/compare.h"
#include "tymbal/task/light.h"
#include "tymbal/task/release_report.h"
#include "tymbal/task/stress_map.h"

#include <optional>
#include <string>
#include <vector>

namespace tymbal {

/// The design to scale, in metres.
struct DesignDrawing {
    Boundary outline;
    Boundary front;  ///< what the etch sets free round the holes; empty when it is the outline itself or not known
    std::vector<Point> hole_centres;
    std::vector<Point> hole_corners;  ///< of one hole about its centre; empty: circles
    double hole_size = 0.0;           ///< diameter, side or width across flats, m; 0: no holes
    bool holes_resolved = false;      ///< shapes and stress know every hole
    Boundary openings{};  ///< edges of the single openings, a loop each; they may overlap and cross the outline
};

struct Report {
    Device design;
    Prediction prediction;
    DesignDrawing drawing;
    StressMap stress;
    std::optional<ReleaseReport> release;  ///< where the design has holes and [release]
    std::string release_missing;           ///< why it has none
    std::optional<Comparison> comparison;
    std::optional<LightReport> light;  ///< where light sees a lattice of holes and its lines can be solved
    int target_mode = 1;               ///< index of the mode that [target] names, when it is solved, else of the lowest
    std::optional<CavityReport> cavity{};  ///< where the design has [cavity]
    std::string cavity_missing{};          ///< why it has none
};

/// @throws NoAnswer  as predict does
[[nodiscard]] Report report(const Device& device, const Materials& materials,
                            const std::optional<Measured>& measured = {}, const Effort& effort = {},
                            const Progressed& progressed = {});

/// Outline, holes, openings and front of a design. @throws NoAnswer when holes cannot be placed, or the model that is
/// asked for does not apply
[[nodiscard]] DesignDrawing draw_design(const Device& device);

}  // namespace tymbal
