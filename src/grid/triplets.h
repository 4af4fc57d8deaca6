// Assembly of symmetric matrices from small difference rows.
#pragma once

#include "tymbal/grid/operators.h"

#include <array>
#include <cstddef>

namespace tymbal {

/// A difference formula: a few node numbers with their weights.
class Row {
public:
    void add(int node, double weight) {
        for (std::size_t k = 0; k < size_; ++k) {
            if (node_[k] != node) continue;
            weight_[k] += weight;
            return;
        }
        node_[size_] = node;
        weight_[size_++] = weight;
    }
    void add(const Row& other, double factor) {
        for (std::size_t k = 0; k < other.size_; ++k) add(other.node_[k], factor * other.weight_[k]);
    }
    [[nodiscard]] std::size_t size() const { return size_; }
    [[nodiscard]] int node(std::size_t k) const { return node_[k]; }
    [[nodiscard]] double weight(std::size_t k) const { return weight_[k]; }

private:
    std::array<int, 8> node_{};
    std::array<double, 8> weight_{};
    std::size_t size_ = 0;
};

class Triplets {
public:
    explicit Triplets(std::size_t size) : size_(static_cast<Eigen::Index>(size)) { entries_.reserve(24 * size); }

    /// factor * a b' (symmetric only when a and b are the same row).
    void add(const Row& a, const Row& b, double factor) {
        for (std::size_t p = 0; p < a.size(); ++p)
            for (std::size_t q = 0; q < b.size(); ++q)
                entries_.emplace_back(a.node(p), b.node(q), factor * a.weight(p) * b.weight(q));
    }
    /// factor * (a b' + b a').
    void add_mixed(const Row& a, const Row& b, double factor) {
        add(a, b, factor);
        add(b, a, factor);
    }
    [[nodiscard]] SparseMatrix matrix() const {
        SparseMatrix result(size_, size_);
        result.setFromTriplets(entries_.begin(), entries_.end());
        return result;
    }

private:
    Eigen::Index size_;
    std::vector<Eigen::Triplet<double>> entries_;
};

}  // namespace tymbal
