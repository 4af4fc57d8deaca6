// Disjoint sets of numbers, joined pair by pair.
#pragma once

#include <algorithm>
#include <cstddef>
#include <numeric>
#include <vector>

namespace tymbal::spline {

/// The smallest number of a set is its root.
class Sets {
public:
    explicit Sets(std::size_t count) : parent_(count) { std::iota(parent_.begin(), parent_.end(), 0); }
    int root(int k) {
        while (parent_[static_cast<std::size_t>(k)] != k) {
            int& up = parent_[static_cast<std::size_t>(k)];
            up = parent_[static_cast<std::size_t>(up)];
            k = up;
        }
        return k;
    }
    void join(int a, int b) {
        a = root(a);
        b = root(b);
        if (a != b) parent_[static_cast<std::size_t>(std::max(a, b))] = std::min(a, b);
    }

private:
    std::vector<int> parent_;
};

}  // namespace tymbal::spline
