#include "block.h"

#include <algorithm>

namespace tymbal {

template <class T>
Block<T>::Block(int columns, int rows, int lanes)
    : columns_(columns),
      rows_(rows),
      lanes_(lanes),
      data_(static_cast<std::size_t>(columns + 2) * static_cast<std::size_t>(rows + 2) *
            static_cast<std::size_t>(lanes)) {
    clear_frame();
}

template <class T>
void Block<T>::narrow(int lanes) {
    if (lanes == lanes_) return;
    lanes_ = lanes;
    clear_frame();
}

template <class T>
void Block<T>::clear() {
    std::fill(at(-1, -1), at(-1, rows_) + stride(), T{});
}

template <class T>
void Block<T>::clear_frame() {
    for (const int j : {-1, rows_}) std::fill(at(-1, j), at(-1, j) + stride(), T{});
    for (int j = 0; j < rows_; ++j)
        for (const int i : {-1, columns_}) std::fill(at(i, j), at(i, j) + lanes_, T{});
}

template class Block<float>;
template class Block<double>;

}  // namespace tymbal
