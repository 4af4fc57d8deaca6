// Lattices under light solved once: designs that differ in nothing that light meets share one solution.
#pragma once

#include "tymbal/base/memo.h"
#include "tymbal/light/film_light.h"

namespace tymbal {

/// A LatticeSolver that remembers.
class LightMemo {
public:
    [[nodiscard]] SeenFilm operator()(const LatticeLight& seen) const { return memo_(seen); }
    [[nodiscard]] std::size_t size() const { return memo_.size(); }

private:
    struct Before {
        bool operator()(const LatticeLight& a, const LatticeLight& b) const;
    };
    Memo<LatticeLight, SeenFilm, Before> memo_{see_lattice};
};

}  // namespace tymbal
