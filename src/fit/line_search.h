// Lines of a spectrum over a background of one coarseness: found, fitted, and fitted again as the background is
// renewed.
#pragma once

#include "line_group.h"

#include <cstddef>

namespace tymbal {

/// All lines over a background of blocks of `block` points, `most` of them at most. `spectrum` must outlive the result.
[[nodiscard]] Search search(const Spectrum& spectrum, std::size_t block, double averages, std::size_t most);

/// Every line again, with those it overlaps, on the present background; then the background.
void refit(Search& s);

/// Lines and background by turns until both stand still, lines without which the others do as well left out.
void settle(Search& s);

}  // namespace tymbal
