#include "dissection.h"

#include <algorithm>
#include <limits>

namespace tymbal::spline {

namespace {

using Graph = Eigen::SparseMatrix<char, Eigen::RowMajor>;

class Dissection {
public:
    Dissection(const std::vector<std::array<int, 2>>& place, const Graph& graph, int leaf)
        : place_(place), graph_(graph), leaf_(leaf), side_(place.size(), 0) {}
    std::vector<EliminationGroup> run() {
        std::vector<int> all(place_.size());
        for (std::size_t k = 0; k < all.size(); ++k) all[k] = static_cast<int>(k);
        halve(std::move(all));
        return std::move(blocks_);
    }

private:
    int store(EliminationGroup block) {
        blocks_.push_back(std::move(block));
        return static_cast<int>(blocks_.size()) - 1;
    }
    [[nodiscard]] int at(int unknown, std::size_t axis) const {
        return place_[static_cast<std::size_t>(unknown)][axis];
    }

    int halve(std::vector<int> group) {
        if (static_cast<int>(group.size()) <= leaf_) return store({std::move(group), {-1, -1}});
        const Cut cut_at = best_cut(group);
        const std::size_t axis = cut_at.axis;
        const int cut = cut_at.line;
        std::vector<int> low, high, between;
        ++mark_;
        for (const int k : group)
            if (at(k, axis) < cut) {
                low.push_back(k);
                side_[static_cast<std::size_t>(k)] = mark_;
            }
        for (const int k : group)
            if (at(k, axis) >= cut) (touches(k) ? between : high).push_back(k);
        if (low.empty()) return store({std::move(group), {-1, -1}});
        std::sort(between.begin(), between.end());
        group = {};
        EliminationGroup block;
        block.children[0] = halve(std::move(low));
        if (!high.empty()) block.children[1] = halve(std::move(high));
        block.unknowns = std::move(between);
        return store(std::move(block));
    }
    struct Cut {
        std::size_t axis = 0;
        int line = 0;
        double cost = std::numeric_limits<double>::infinity();
    };
    /// The line whose own unknowns and the next line's are fewest for how evenly they part the group: tethers are cut
    /// across, not along.
    [[nodiscard]] Cut best_cut(const std::vector<int>& group) const {
        Cut best;
        for (std::size_t axis = 0; axis < 2; ++axis) {
            int low = at(group.front(), axis), high = low;
            for (const int k : group) {
                low = std::min(low, at(k, axis));
                high = std::max(high, at(k, axis));
            }
            std::vector<int> count(static_cast<std::size_t>(high - low) + 2, 0);
            for (const int k : group) ++count[static_cast<std::size_t>(at(k, axis) - low)];
            int before = 0;
            for (std::size_t c = 1; c + 1 < count.size(); ++c) {
                before += count[c - 1];
                const int between = count[c] + count[c + 1];
                const int after = static_cast<int>(group.size()) - before - between;
                const double cost = between / std::max(0.5, static_cast<double>(std::min(before, after)));
                if (cost < best.cost) best = {axis, low + static_cast<int>(c), cost};
            }
        }
        return best;
    }
    /// Does an unknown have a neighbour among those just marked?
    [[nodiscard]] bool touches(int k) const {
        for (Graph::InnerIterator it(graph_, k); it; ++it)
            if (side_[static_cast<std::size_t>(it.col())] == mark_) return true;
        return false;
    }

    const std::vector<std::array<int, 2>>& place_;
    const Graph& graph_;
    int leaf_, mark_ = 0;
    std::vector<int> side_;
    std::vector<EliminationGroup> blocks_;
};

}  // namespace

std::vector<EliminationGroup> dissect(const std::vector<std::array<int, 2>>& place, const Graph& graph, int leaf) {
    return Dissection(place, graph, leaf).run();
}

}  // namespace tymbal::spline
