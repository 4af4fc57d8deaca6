// From a point of the free ranges to a solved design with its distances from the limits.
#pragma once

#include "tymbal/film/cell_memo.h"
#include "tymbal/light/light_memo.h"
#include "tymbal/task/choose.h"

namespace tymbal {

/// A point of the search: one coordinate from 0 to 1 per numeric key, and which combination of names.
struct Spot {
    std::vector<double> x;
    std::size_t names = 0;
};

class Candidates {
public:
    /// @throws InputError see choose
    explicit Candidates(const ChoiceJob& job);

    [[nodiscard]] std::size_t dimensions() const { return numbers_.size(); }
    [[nodiscard]] std::size_t name_count() const;
    [[nodiscard]] const Device& start() const { return start_; }
    [[nodiscard]] double least_chance() const { return job_.least_chance; }
    [[nodiscard]] const std::optional<std::array<double, 2>>& window() const { return window_; }
    [[nodiscard]] const std::optional<double>& target() const { return target_; }

    /// The limits of the design. @param relaxed, share  this one is eased by a share of itself
    [[nodiscard]] std::vector<ChoiceLimit> limits(const std::string& relaxed = "", double share = 0.0) const;
    [[nodiscard]] Candidate solve(const Spot& spot, const std::vector<ChoiceLimit>& limits) const;
    /// The same design's distances from other limits.
    void judge(Candidate& candidate, const std::vector<ChoiceLimit>& limits) const;
    /// The spot whose outline is scaled so that the candidate's frequency would come to the target; nothing without a
    /// free outline or a target.
    [[nodiscard]] std::optional<Spot> towards_target(const Spot& spot, const Candidate& candidate) const;
    [[nodiscard]] bool in_window(const Candidate& candidate) const;
    /// Has it the chance to meet the window that a recommended design should have? Yes where no chance is known.
    [[nodiscard]] bool likely(const Candidate& candidate) const;
    /// Notes on limits that no figure answers.
    [[nodiscard]] std::vector<std::string> unchecked() const;

private:
    [[nodiscard]] Changes changes(const Spot& spot) const;
    [[nodiscard]] double value(const FreeKey& key, double x) const;
    [[nodiscard]] double place(const FreeKey& key, double value) const;

    const ChoiceJob& job_;
    Device start_;
    CellMemo cells_;
    LightMemo light_;
    std::vector<FreeKey> numbers_, names_;
    std::optional<double> target_;
    std::optional<std::array<double, 2>> window_;
    double modes_ = 1.0;
    bool keeps_aspect_ = false;  ///< outline.width moves the height too
};

}  // namespace tymbal
