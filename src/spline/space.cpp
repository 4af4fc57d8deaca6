#include "space.h"

#include "sets.h"

#include <utility>

namespace tymbal::spline {

namespace {

int local(int by, int bx) {
    return by * per_side + bx;
}

/// The spline a part's own number stands for, and what it mirrors.
struct Mirrored {
    int of = -1;  ///< coefficient it mirrors with the opposite sign, -1: none
};

class Numbering {
public:
    explicit Numbering(const Cells& cells) : cells_(cells), sets_(cells.parts.size() * per_cell) {}

    Space run() {
        join_faces();
        mirror_sides();
        Space out;
        std::vector<int> number(cells_.parts.size() * per_cell, -1);
        out.parts.resize(cells_.parts.size());
        for (std::size_t p = 0; p < cells_.parts.size(); ++p)
            for (int k = 0; k < per_cell; ++k) {
                const auto [root, sign] = resolved(static_cast<int>(p) * per_cell + k);
                int& n = number[static_cast<std::size_t>(root)];
                if (n < 0) {
                    n = out.size++;
                    const Part& owner = cells_.parts[static_cast<std::size_t>(root / per_cell)];
                    const int own = root % per_cell;
                    out.place.push_back({owner.ix + own % per_side, owner.iy + own / per_side});
                }
                out.parts[p].unknown[static_cast<std::size_t>(k)] = n;
                out.parts[p].sign[static_cast<std::size_t>(k)] = sign;
            }
        return out;
    }

private:
    void join_faces() {
        for (const auto& [a, b] : cells_.beside)
            for (int by = 0; by < per_side; ++by)
                for (int bx = 1; bx < per_side; ++bx)
                    sets_.join(a * per_cell + local(by, bx), b * per_cell + local(by, bx - 1));
        for (const auto& [a, b] : cells_.above)
            for (int by = 1; by < per_side; ++by)
                for (int bx = 0; bx < per_side; ++bx)
                    sets_.join(a * per_cell + local(by, bx), b * per_cell + local(by - 1, bx));
    }
    /// Along x first: at a corner the outermost spline mirrors along x, what it mirrors then along y.
    void mirror_sides() {
        mirrors_.resize(cells_.parts.size() * per_cell);
        const Frame& f = cells_.frame;
        for (std::size_t p = 0; p < cells_.parts.size(); ++p) {
            const Part& part = cells_.parts[p];
            const int base = static_cast<int>(p) * per_cell;
            for (int k = 0; k < per_side; ++k) {
                if (f.held[0] && part.ix == 0) mirror(base + local(k, 0), base + local(k, 1));
                if (f.held[1] && part.ix == f.nx - 1) mirror(base + local(k, 2), base + local(k, 1));
            }
            for (int k = 0; k < per_side; ++k) {
                if (f.held[2] && part.iy == 0) mirror(base + local(0, k), base + local(1, k));
                if (f.held[3] && part.iy == f.ny - 1) mirror(base + local(2, k), base + local(1, k));
            }
        }
    }
    void mirror(int outer, int inner) {
        Mirrored& m = mirrors_[static_cast<std::size_t>(sets_.root(outer))];
        if (m.of < 0) m.of = inner;
    }
    std::pair<int, double> resolved(int k) {
        double sign = 1.0;
        int root = sets_.root(k);
        while (mirrors_[static_cast<std::size_t>(root)].of >= 0) {
            root = sets_.root(mirrors_[static_cast<std::size_t>(root)].of);
            sign = -sign;
        }
        return {root, sign};
    }

    const Cells& cells_;
    Sets sets_;
    std::vector<Mirrored> mirrors_;
};

}  // namespace

Space make_space(const Cells& cells) {
    return Numbering(cells).run();
}

}  // namespace tymbal::spline
