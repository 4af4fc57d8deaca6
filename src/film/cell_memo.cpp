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

CellFilm CellMemo::operator()(const CellProblem& problem) const {
    std::promise<CellFilm> mine;
    std::shared_future<CellFilm> cell;
    bool known = true;
    {
        const std::lock_guard lock(store_->guard);
        const auto found = store_->cells.find(problem);
        known = found != store_->cells.end();
        cell = known ? found->second : mine.get_future().share();
        if (!known) store_->cells.emplace(problem, cell);
    }
    if (known) return cell.get();
    try {
        mine.set_value(solve_cell(problem));
    } catch (...) {
        mine.set_exception(std::current_exception());  // a cell that has no answer has none for anybody
    }
    return cell.get();
}

std::size_t CellMemo::size() const {
    const std::lock_guard lock(store_->guard);
    return store_->cells.size();
}

}  // namespace tymbal
