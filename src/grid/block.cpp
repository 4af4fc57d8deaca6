#include "block.h"

#include "../base/in_parallel.h"

#include <algorithm>

namespace tymbal {

template <class T>
Block<T>::Block(int columns, int rows, int lanes, unsigned threads)
    : columns_(columns),
      rows_(rows),
      lanes_(lanes),
      data_(static_cast<std::size_t>(columns + 2) * static_cast<std::size_t>(rows + 2) *
            static_cast<std::size_t>(lanes)) {
    clear(threads);
}

template <class T>
void Block<T>::narrow(int lanes, unsigned threads) {
    if (lanes == lanes_) return;
    lanes_ = lanes;
    clear(threads);
}

template <class T>
void Block<T>::clear(unsigned threads) {
    constexpr int strip = 32;
    const int all = rows_ + 2;
    in_parallel(static_cast<std::size_t>((all + strip - 1) / strip), threads, [&](std::size_t s) {
        const int from = static_cast<int>(s) * strip;
        const int to = std::min(from + strip, all);
        std::fill(data_.data() + from * stride(), data_.data() + to * stride(), T{});
    });
}

template class Block<float>;
template class Block<double>;

}  // namespace tymbal
