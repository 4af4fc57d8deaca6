// The loss budget of a mode: every mechanism as a quality factor with its formula, source and degree of trust, summed.
#pragma once

#include "tymbal/base/warning.h"
#include "tymbal/film/film.h"
#include "tymbal/geometry/outline.h"
#include "tymbal/modes/modes.h"

#include <optional>
#include <string>
#include <vector>

namespace tymbal {

/// How far a loss estimate may be trusted.
enum class Trust { computed, estimated, order_of_magnitude };
[[nodiscard]] std::string to_string(Trust trust);

/// A quality factor as it acts on the mode. `low` <= `value` <= `high`; all three equal when physics gives one number.
struct QualityBand {
    double value = 0.0;
    double low = 0.0;
    double high = 0.0;
};

/// (tension + bending energy) / bending energy of a mode, `low` <= `factor` <= `high`.
struct Dilution {
    double factor = 1.0, low = 1.0, high = 1.0;
    bool rough = false;  ///< known to an order of magnitude: the clamped layer meets corners or free edges
};

/// One mechanism's share; `quality` is empty when it does not apply or no formula holds, `note` then says why.
struct LossTerm {
    std::string name;  ///< JSON key: "intrinsic", "diluted", "radiation", "gas", "squeeze_film", "thermoelastic"
    std::optional<QualityBand> quality;
    Trust trust = Trust::computed;
    std::string formula;  ///< one line of plain text
    std::string source;   ///< citation(s)
    std::string note;     ///< validity, or why there is no number
};

struct LossBudget {
    Dilution dilution;
    std::vector<LossTerm> terms;  ///< fixed order; "intrinsic" is shown, not summed ("diluted" carries it)
    QualityBand total;
    std::string limited_by;  ///< name of the term with the largest loss at total.value; "diluted" is the
                             ///< material's loss behind the mode's dilution
};

/// A term by the name that tables and sentences give it: "material" for "diluted", "gap" for "squeeze_film", else the
/// name itself.
[[nodiscard]] std::string heading(const std::string& term);

enum class ChipEdge { left, right, lower, upper };  // at least and greatest x, least and greatest y

/// Substrate round the membrane; absent means a semi-infinite and plate-like silicon chip 525 um thick is assumed.
struct Chip {
    Length width, length, thickness;
    std::string material = "silicon";
    Point position;                ///< membrane centre on the chip, m from the chip's centre
    bool along_110 = true;         ///< cubic crystals: edges along <110>, else along <100>; surface (100)
    std::vector<ChipEdge> held{};  ///< edges that the mount clamps; none: free all round
};

/// The gas in the chamber.
struct Surroundings {
    Gas gas;
    Sourced<Pressure> pressure;
};

/// Everything the loss models need besides the mode itself.
struct LossInputs {
    const Film& film;
    const Solid& substrate;  ///< material of the chip
    Length chip_thickness;
    std::optional<Surroundings> surroundings;
    std::optional<Length> gap;       ///< below the film; empty: open on both sides
    double areal_density = 0.0;      ///< kg/m^2, mean over the outline
    double outline_area = 0.0;       ///< m^2
    double outline_perimeter = 0.0;  ///< m
    double pitch = 0.0;              ///< of the holes, m; 0: no holes
};

/// The budget of one mode. Pure; no exceptions for physics out of range: the term's note says so.
[[nodiscard]] LossBudget loss_budget(const Mode& mode, const LossInputs& inputs);

/// Warnings that concern the losses of all modes (gas-limited, formula out of range, ...).
[[nodiscard]] Warnings loss_warnings(const std::vector<LossBudget>& budgets, const LossInputs& inputs);

}  // namespace tymbal
