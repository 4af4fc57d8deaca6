// doctest's own tolerance is relative to one plus the value: lengths in metres would always agree. This one is relative
// to the value alone; `.scale(1.0)` says that values of order one may also be zero.
#pragma once

#include <doctest/doctest.h>

namespace tymbal::sample {

/// @param value  not zero; compare zero with a bound of its own
inline doctest::Approx Approx(double value) {
    return doctest::Approx(value).scale(0.0);
}

}  // namespace tymbal::sample
