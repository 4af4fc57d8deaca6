#include "tymbal/text/page_width.h"

#include <algorithm>

namespace tymbal {

namespace {

/// The standard's place for a program's own property of a stream.
int slot() {
    static const int index = std::ios_base::xalloc();
    return index;
}

}  // namespace

void set_page_width(std::ios_base& stream, std::size_t columns) {
    stream.iword(slot()) = static_cast<long>(std::max(columns, page));
}

std::size_t page_width(std::ios_base& stream) {
    const long columns = stream.iword(slot());
    return columns > 0 ? static_cast<std::size_t>(columns) : page;
}

}  // namespace tymbal
