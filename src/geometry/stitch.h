// Loose pieces of a rim put into closed curves.
#pragma once

#include "tymbal/geometry/edge.h"

#include <vector>

namespace tymbal {

/// Puts the pieces into closed curves, each piece beginning exactly where the one before ends; loops are numbered in
/// the order in which they are found.
/// @param tolerance  ends closer than this meet, m
/// @throws NoAnswer when an end meets no beginning: fronts only just touch
[[nodiscard]] Boundary stitched(const Boundary& pieces, double tolerance);

}  // namespace tymbal
