#include "levels.h"

#include "../base/in_parallel.h"

#include <algorithm>
#include <utility>

namespace tymbal::spline {

namespace {

constexpr std::size_t rows_at_a_time = 512;

void sort_once(std::vector<int>& list) {
    std::sort(list.begin(), list.end());
    list.erase(std::unique(list.begin(), list.end()), list.end());
}

std::size_t chunks(std::size_t rows) {
    return (rows + rows_at_a_time - 1) / rows_at_a_time;
}

/// Coarser unknowns that meet through the finer ones.
Pattern coarse_pattern(const Pattern& fine, const Level& coarse) {
    Pattern out;
    out.first.push_back(0);
    const auto size = static_cast<std::size_t>(coarse.space.size);
    std::vector<int> seen_fine(coarse.to_finer.rows.size(), -1), seen(size, -1), row;
    for (std::size_t n = 0; n < size; ++n) {
        const int mark = static_cast<int>(n);
        row.clear();
        for (int k = coarse.from_finer.first[n]; k < coarse.from_finer.first[n + 1]; ++k) {
            const auto i = static_cast<std::size_t>(coarse.from_finer.from[static_cast<std::size_t>(k)]);
            for (auto e = fine.first[i]; e < fine.first[i + 1]; ++e) {
                const auto j = static_cast<std::size_t>(fine.column[static_cast<std::size_t>(e)]);
                if (std::exchange(seen_fine[j], mark) == mark) continue;
                for (const int c : coarse.to_finer.rows[j].from)
                    if (std::exchange(seen[static_cast<std::size_t>(c)], mark) != mark) row.push_back(c);
            }
        }
        std::sort(row.begin(), row.end());
        out.column.insert(out.column.end(), row.begin(), row.end());
        out.first.push_back(static_cast<std::int64_t>(out.column.size()));
    }
    return out;
}

/// One row of P' A P at a time: first the rows of A summed, then their columns.
class Product {
public:
    Product(const Rows& fine, const Level& coarse)
        : fine_(fine), coarse_(coarse), place_(coarse.to_finer.rows.size(), -1), at_(size(coarse), -1) {}

    void row(std::size_t n, Rows& out) {
        gather(n);
        const Pattern& p = *out.pattern;
        const auto block = static_cast<std::size_t>(fine_.block());
        for (auto e = p.first[n]; e < p.first[n + 1]; ++e)
            at_[static_cast<std::size_t>(p.column[static_cast<std::size_t>(e)])] = e;
        for (std::size_t k = 0; k < columns_.size(); ++k) {
            const auto j = static_cast<std::size_t>(columns_[k]);
            place_[j] = -1;
            const Prolongation::Row& to = coarse_.to_finer.rows[j];
            for (std::size_t q = 0; q < 4; ++q) {
                const auto e = static_cast<std::size_t>(at_[static_cast<std::size_t>(to.from[q])]);
                for (std::size_t b = 0; b < block; ++b)
                    out.value[e * block + b] += static_cast<double>(to.weight[q]) * sums_[k * block + b];
            }
        }
    }

private:
    static std::size_t size(const Level& level) { return static_cast<std::size_t>(level.space.size); }
    void gather(std::size_t n) {
        const Pattern& p = *fine_.pattern;
        const auto block = static_cast<std::size_t>(fine_.block());
        columns_.clear();
        sums_.clear();
        for (int k = coarse_.from_finer.first[n]; k < coarse_.from_finer.first[n + 1]; ++k) {
            const auto i = static_cast<std::size_t>(coarse_.from_finer.from[static_cast<std::size_t>(k)]);
            const auto weight = static_cast<double>(coarse_.from_finer.weight[static_cast<std::size_t>(k)]);
            for (auto e = static_cast<std::size_t>(p.first[i]); e < static_cast<std::size_t>(p.first[i + 1]); ++e) {
                int& at = place_[static_cast<std::size_t>(p.column[e])];
                if (at < 0) {
                    at = static_cast<int>(columns_.size());
                    columns_.push_back(p.column[e]);
                    sums_.resize(sums_.size() + block, 0.0);
                }
                for (std::size_t b = 0; b < block; ++b)
                    sums_[static_cast<std::size_t>(at) * block + b] += weight * fine_.value[e * block + b];
            }
        }
    }

    const Rows& fine_;
    const Level& coarse_;
    std::vector<int> place_;        ///< of each finer column in columns_
    std::vector<std::int64_t> at_;  ///< entry of each coarser column
    std::vector<int> columns_;
    std::vector<double> sums_;
};

/// Unknowns of some parts, each once.
std::vector<std::vector<int>> blocks_of(const Space& space, const std::vector<int>& parts) {
    std::vector<std::vector<int>> out;
    for (const int p : parts) {
        const auto& all = space.parts[static_cast<std::size_t>(p)].unknown;
        std::vector<int> block(all.begin(), all.end());
        sort_once(block);
        out.push_back(std::move(block));
    }
    return out;
}

}  // namespace

Levels make_levels(const Cells& cells, const Space& space, std::shared_ptr<const Pattern> pattern, int smallest) {
    Levels out;
    std::vector<int> held;
    for (const EdgePiece& e : cells.held_edges) held.push_back(e.part);
    sort_once(held);
    out.all.push_back({{space.size, {}, space.place}, std::move(pattern), {}, {}, blocks_of(space, held)});
    Coarser here;
    Space here_space;
    const Cells* finer = &cells;
    const Space* finer_space = &space;
    while (out.all.back().space.size > smallest && has_coarser(finer->frame)) {
        Coarser next = coarser(*finer);
        Space next_space = make_space(next.cells);
        for (int& p : held) p = next.owner[static_cast<std::size_t>(p)];
        sort_once(held);
        Level level{{next_space.size, {}, next_space.place}, {}, {}, {}, blocks_of(next_space, held)};
        level.to_finer = prolongation(*finer, *finer_space, next, next_space);
        level.from_finer = restriction(level.to_finer, level.space.size);
        level.pattern = std::make_shared<const Pattern>(coarse_pattern(*out.all.back().pattern, level));
        out.all.push_back(std::move(level));
        here = std::move(next);
        here_space = std::move(next_space);
        finer = &here.cells;
        finer_space = &here_space;
    }
    return out;
}

Rows galerkin(const Rows& fine, const Level& coarse, unsigned threads) {
    Rows out(coarse.pattern, fine.fields);
    const auto rows = static_cast<std::size_t>(coarse.space.size);
    const std::size_t strips = std::min<std::size_t>(chunks(rows), threads);
    in_parallel(strips, threads, [&](std::size_t s) {
        Product product(fine, coarse);
        for (std::size_t n = rows * s / strips; n < rows * (s + 1) / strips; ++n) product.row(n, out);
    });
    return out;
}

}  // namespace tymbal::spline
