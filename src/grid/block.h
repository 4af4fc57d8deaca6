// Several vectors on one lattice, the vector's number innermost: one matrix weight then serves all of them.
#pragma once

#include "tymbal/grid/pages.h"

#include <cstddef>
#include <utility>
#include <vector>

namespace tymbal {

constexpr int lane = 8;  ///< vectors handled together; a block holds a multiple of it

/// Numbers for the processor's vector unit, 32 bytes; sums in it run over nodes, never across vectors.
template <class T>
struct Pack;
template <>
struct Pack<float> {
    typedef float type __attribute__((vector_size(32), aligned(4), may_alias));
};
template <>
struct Pack<double> {
    typedef double type __attribute__((vector_size(32), aligned(8), may_alias));
};

template <class T>
constexpr int width = 32 / static_cast<int>(sizeof(T));

template <class T>
typename Pack<T>::type& pack(T* p) {
    return *reinterpret_cast<typename Pack<T>::type*>(p);
}
template <class T>
const typename Pack<T>::type& pack(const T* p) {
    return *reinterpret_cast<const typename Pack<T>::type*>(p);
}

[[nodiscard]] constexpr int whole_lanes(int vectors) {
    return (vectors + lane - 1) / lane * lane;
}

/// `lanes` vectors (a multiple of `lane`) on columns x rows nodes with a frame of zeros; undefined until written.
template <class T>
class Block {
public:
    Block() = default;
    Block(int columns, int rows, int lanes);

    [[nodiscard]] int columns() const { return columns_; }
    [[nodiscard]] int rows() const { return rows_; }
    [[nodiscard]] int lanes() const { return lanes_; }
    [[nodiscard]] std::size_t bytes() const { return data_.size() * sizeof(T); }
    /// From one row of nodes to the next.
    [[nodiscard]] std::ptrdiff_t stride() const { return static_cast<std::ptrdiff_t>(columns_ + 2) * lanes_; }
    [[nodiscard]] T* at(int i, int j) { return data_.data() + offset(i, j); }
    [[nodiscard]] const T* at(int i, int j) const { return data_.data() + offset(i, j); }
    /// Fewer vectors in the same memory; what is in it is lost.
    void narrow(int lanes);
    void clear();
    /// The memory itself, frame included; what remains of the block is of no use.
    [[nodiscard]] Buffer<T> release() { return std::move(data_); }

private:
    void clear_frame();
    [[nodiscard]] std::ptrdiff_t offset(int i, int j) const {
        return (i + 1) * static_cast<std::ptrdiff_t>(lanes_) + (j + 1) * stride();
    }
    int columns_ = 0, rows_ = 0, lanes_ = 0;
    Buffer<T> data_;
};

/// Some of a block's packs of `lane` vectors, by number.
using Packs = std::vector<int>;

[[nodiscard]] inline Packs all_packs(int lanes) {
    Packs packs;
    for (int k = 0; k < lanes / lane; ++k) packs.push_back(k);
    return packs;
}

}  // namespace tymbal
