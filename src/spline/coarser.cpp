#include "coarser.h"

#include "sets.h"

#include <algorithm>

namespace tymbal::spline {

namespace {

bool same_cell(const Part& a, const Part& b) {
    return a.ix / 2 == b.ix / 2 && a.iy / 2 == b.iy / 2;
}

/// Numbers of the coarse parts in the order in which their finer ones come.
std::vector<int> owners(const Cells& fine, std::vector<Part>& parts) {
    Sets sets(fine.parts.size());
    const auto part = [&](int p) -> const Part& { return fine.parts[static_cast<std::size_t>(p)]; };
    for (const auto* faces : {&fine.beside, &fine.above})
        for (const auto& face : *faces)
            if (same_cell(part(face[0]), part(face[1]))) sets.join(face[0], face[1]);
    std::vector<int> number(fine.parts.size(), -1), owner(fine.parts.size());
    for (std::size_t p = 0; p < fine.parts.size(); ++p) {
        int& n = number[static_cast<std::size_t>(sets.root(static_cast<int>(p)))];
        if (n < 0) {
            n = static_cast<int>(parts.size());
            parts.push_back({fine.parts[p].ix / 2, fine.parts[p].iy / 2, -1, 0.0});
        }
        owner[p] = n;
        parts[static_cast<std::size_t>(n)].share += 0.25 * fine.parts[p].share;
    }
    return owner;
}

std::vector<std::array<int, 2>> faces_between(const std::vector<std::array<int, 2>>& fine,
                                              const std::vector<int>& owner) {
    std::vector<std::array<int, 2>> out;
    for (const auto& face : fine) {
        const int a = owner[static_cast<std::size_t>(face[0])], b = owner[static_cast<std::size_t>(face[1])];
        if (a != b) out.push_back({a, b});
    }
    std::sort(out.begin(), out.end());
    out.erase(std::unique(out.begin(), out.end()), out.end());
    return out;
}

/// Two coarser splines that make up finer spline `b` of the lower or upper half of a cell.
struct Halved {
    std::array<int, 2> from{};
    std::array<float, 2> weight{};
};

Halved halved(bool upper, int b) {
    constexpr float near = 0.75F, far = 0.25F;
    const int at = (upper ? 1 : 0) + b;  // finer splines of the cell, 0 to 3
    return at % 2 == 0 ? Halved{{at / 2, at / 2 + 1}, {near, far}} : Halved{{at / 2, at / 2 + 1}, {far, near}};
}

Prolongation::Row row_of(const Part& fine, int spline, double sign, const PartUnknowns& coarse) {
    const Halved x = halved(fine.ix % 2 != 0, spline % per_side), y = halved(fine.iy % 2 != 0, spline / per_side);
    Prolongation::Row out;
    for (std::size_t j = 0; j < 2; ++j)
        for (std::size_t i = 0; i < 2; ++i) {
            const auto k = static_cast<std::size_t>(y.from[j] * per_side + x.from[i]);
            out.from[2 * j + i] = coarse.unknown[k];
            out.weight[2 * j + i] = y.weight[j] * x.weight[i] * static_cast<float>(sign * coarse.sign[k]);
        }
    return out;
}

}  // namespace

bool has_coarser(const Frame& frame) {
    return frame.nx % 2 == 0 && frame.ny % 2 == 0 && std::min(frame.nx, frame.ny) >= 4;
}

Coarser coarser(const Cells& fine) {
    Coarser out;
    Frame& f = out.cells.frame;
    f = fine.frame;
    f.hx *= 2.0;
    f.hy *= 2.0;
    f.nx /= 2;
    f.ny /= 2;
    out.owner = owners(fine, out.cells.parts);
    out.cells.beside = faces_between(fine.beside, out.owner);
    out.cells.above = faces_between(fine.above, out.owner);
    return out;
}

Prolongation prolongation(const Cells& fine, const Space& fine_space, const Coarser& coarse,
                          const Space& coarse_space) {
    Prolongation out;
    out.rows.resize(static_cast<std::size_t>(fine_space.size));
    std::vector<bool> known(out.rows.size(), false);
    for (std::size_t p = 0; p < fine.parts.size(); ++p) {
        const PartUnknowns& own = fine_space.parts[p];
        const PartUnknowns& from = coarse_space.parts[static_cast<std::size_t>(coarse.owner[p])];
        for (std::size_t k = 0; k < per_cell; ++k) {
            const auto n = static_cast<std::size_t>(own.unknown[k]);
            if (known[n]) continue;
            known[n] = true;
            out.rows[n] = row_of(fine.parts[p], static_cast<int>(k), own.sign[k], from);
        }
    }
    return out;
}

Restriction restriction(const Prolongation& prolongation, int coarse_size) {
    Restriction out;
    out.first.assign(static_cast<std::size_t>(coarse_size) + 1, 0);
    for (const auto& row : prolongation.rows)
        for (const int c : row.from) ++out.first[static_cast<std::size_t>(c) + 1];
    for (std::size_t c = 0; c < static_cast<std::size_t>(coarse_size); ++c) out.first[c + 1] += out.first[c];
    out.from.resize(static_cast<std::size_t>(out.first.back()));
    out.weight.resize(out.from.size());
    std::vector<int> next(out.first.begin(), out.first.end() - 1);
    for (std::size_t n = 0; n < prolongation.rows.size(); ++n)
        for (std::size_t k = 0; k < 4; ++k) {
            const auto c = static_cast<std::size_t>(prolongation.rows[n].from[k]);
            const auto at = static_cast<std::size_t>(next[c]++);
            out.from[at] = static_cast<int>(n);
            out.weight[at] = prolongation.rows[n].weight[k];
        }
    return out;
}

}  // namespace tymbal::spline
