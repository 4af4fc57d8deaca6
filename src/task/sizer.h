// The search for the size that puts a mode on a frequency: scales, rows of holes and the border that gives way between
// two counts of rows.
#pragma once

#include "sized_lengths.h"

#include "tymbal/film/cell_memo.h"
#include "tymbal/modes/find_modes.h"
#include "tymbal/task/predict.h"
#include "tymbal/task/size.h"

#include <array>
#include <optional>
#include <string>

namespace tymbal {

namespace sizing {
inline constexpr double promised = 1e-4;  ///< relative distance from the target
inline constexpr double sought = 2e-5;    ///< leaves room for rounding the lengths
}  // namespace sizing

/// One solved size. Scales are searched on their logarithm.
struct Trial {
    double u = 0.0;     ///< ln(scale)
    double miss = 0.0;  ///< ln(f / target)
    long holes = 0;
    std::optional<double> border;  ///< where it had to give way, m: the holes' margin, or the undercut of a hole field
    Sensitivity sensitivity;
    int index = 0;
    std::string label;
};

/// Film too large and film too small.
struct Bracket {
    Trial above, below;  ///< of the target frequency; above.u < below.u unless the mode is odd
};

/// d ln f / d ln size.
[[nodiscard]] double size_weight(const Sensitivity& s, Sizing sizing);

class Sizer {
public:
    Sizer(const DeviceAt& device_at, const SizeWish& wish, const CellMemo& cells, const Progressed& progressed,
          const SolveEffort& large)
        : design_at_(device_at),
          wish_(wish),
          cells_(cells),
          large_(large),
          progressed_(progressed),
          start_(device_at({})),
          mode_(wish.mode) {
        accuracy_ = start_.solve.accuracy;
        require_side();
        bounds_ = scale_bounds(start_, wish.sizing);
    }

    /// Landed, or as near as whole holes let it come.
    Trial search();

    [[nodiscard]] Changes changes_at(double u, const std::optional<double>& border) const;
    [[nodiscard]] Changes rounded(const Trial& trial) const;
    [[nodiscard]] const Device& start() const { return start_; }
    [[nodiscard]] const std::string& mode() const { return mode_; }
    [[nodiscard]] int solutions() const { return solutions_; }
    [[nodiscard]] double accuracy() const { return accuracy_; }
    [[nodiscard]] const std::string& how() const { return how_; }
    /// The outline is what the etch sets free, and its field grows at the pitch it has.
    [[nodiscard]] bool sizes_field() const;

private:
    void require_side() const;
    Trial solve(double u, const std::optional<double>& border);
    Bracket straddle(const Trial& first);
    Trial beyond(const Trial& here, double step);
    std::optional<Trial> close_in(Bracket& ends, const std::optional<long>& kept_holes);
    bool split_at_row(Bracket& ends);
    [[nodiscard]] Changes border_change(double border) const;
    Trial search_outline();
    Trial search_field();
    bool narrow_to_a_row(Bracket& ends);
    std::optional<Trial> answer_at(double u, double undercut);
    std::optional<Trial> meet_by_border(const Trial& state);
    [[nodiscard]] double border_step(const Trial& state) const;
    std::optional<Trial> with_row_left_out(const Trial& last_without);
    [[nodiscard]] std::optional<double> margin_for(double u, long holes) const;
    [[nodiscard]] long count_holes(const Changes& changes) const;
    [[nodiscard]] long count_holes(double u, const std::optional<double>& border) const;
    [[nodiscard]] static std::array<double, 2> filled_field(const Device& device);
    [[noreturn]] void no_size(const Trial& nearest) const;

    const DeviceAt& design_at_;
    const SizeWish& wish_;
    const CellMemo& cells_;
    const SolveEffort& large_;
    const Progressed& progressed_;
    Device start_;
    std::string mode_;
    double accuracy_ = 0.0;
    std::array<double, 2> bounds_{};               ///< of u
    std::array<double, 2> failed_{-1e300, 1e300};  ///< nearest sizes beyond which there is no answer
    std::string beyond_bounds_ = "the allowed sizes end there";
    int solutions_ = 0;
    std::string how_;
};

}  // namespace tymbal
