#include "tymbal/film/cell_memo.h"

#include <tuple>

namespace tymbal {

namespace {

auto ordered(const CellProblem& p) {
    return std::tie(p.lattice, p.shape, p.size, p.poisson_ratio, p.layer, p.accuracy);
}

}  // namespace

bool CellMemo::Before::operator()(const CellProblem& a, const CellProblem& b) const {
    return ordered(a) < ordered(b);
}

}  // namespace tymbal
