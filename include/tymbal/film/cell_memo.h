// Unit cells solved once: what depends only on the shape of a cell is shared by all designs that have it.
#pragma once

#include "tymbal/film/unit_cell.h"

#include <future>
#include <map>
#include <memory>
#include <mutex>

namespace tymbal {

/// A solver that remembers. Copies share their memory, and threads that ask for the same cell at the same time wait for
/// one solution. What it returns does not depend on who asked before.
class CellMemo {
public:
    [[nodiscard]] CellFilm operator()(const CellProblem& problem) const;
    [[nodiscard]] std::size_t size() const;

private:
    struct Before {
        bool operator()(const CellProblem& a, const CellProblem& b) const;
    };
    struct Store {
        std::mutex guard;
        std::map<CellProblem, std::shared_future<CellFilm>, Before> cells;
    };
    std::shared_ptr<Store> store_ = std::make_shared<Store>();
};

}  // namespace tymbal
