// Unit cells solved once: what depends only on the shape of a cell is shared by all designs that have it.
#pragma once

#include "tymbal/base/memo.h"
#include "tymbal/film/unit_cell.h"

namespace tymbal {

/// A solver that remembers.
class CellMemo {
public:
    [[nodiscard]] CellFilm operator()(const CellProblem& problem) const { return memo_(problem); }
    [[nodiscard]] std::size_t size() const { return memo_.size(); }

private:
    struct Before {
        bool operator()(const CellProblem& a, const CellProblem& b) const;
    };
    Memo<CellProblem, CellFilm, Before> memo_{solve_cell};
};

}  // namespace tymbal
