#include "dissection.h"

#include <algorithm>

namespace tymbal::spline {

namespace {

using Graph = Eigen::SparseMatrix<char, Eigen::RowMajor>;

class Dissection {
public:
    Dissection(const std::vector<std::array<int, 2>>& place, const Graph& graph, int leaf)
        : place_(place), graph_(graph), leaf_(leaf), side_(place.size(), 0) {}
    std::vector<Block> run() {
        std::vector<int> all(place_.size());
        for (std::size_t k = 0; k < all.size(); ++k) all[k] = static_cast<int>(k);
        halve(std::move(all));
        return std::move(blocks_);
    }

private:
    int store(Block block) {
        blocks_.push_back(std::move(block));
        return static_cast<int>(blocks_.size()) - 1;
    }
    [[nodiscard]] int at(int unknown, std::size_t axis) const { return place_[static_cast<std::size_t>(unknown)][axis]; }

    int halve(std::vector<int> group) {
        if (static_cast<int>(group.size()) <= leaf_) return store({std::move(group), {-1, -1}});
        std::array<int, 2> extent{};
        for (std::size_t axis = 0; axis < 2; ++axis) {
            const auto [low, high] = std::minmax_element(group.begin(), group.end(),
                                                         [&](int a, int b) { return at(a, axis) < at(b, axis); });
            extent[axis] = at(*high, axis) - at(*low, axis);
        }
        const std::size_t axis = extent[1] > extent[0] ? 1 : 0;
        const auto middle = group.begin() + static_cast<std::ptrdiff_t>(group.size() / 2);
        std::nth_element(group.begin(), middle, group.end(), [&](int a, int b) { return at(a, axis) < at(b, axis); });
        const int cut = at(*middle, axis);
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
        Block block;
        block.children[0] = halve(std::move(low));
        if (!high.empty()) block.children[1] = halve(std::move(high));
        block.unknowns = std::move(between);
        return store(std::move(block));
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
    std::vector<Block> blocks_;
};

}  // namespace

std::vector<Block> dissect(const std::vector<std::array<int, 2>>& place, const Graph& graph, int leaf) {
    return Dissection(place, graph, leaf).run();
}

}  // namespace tymbal::spline
