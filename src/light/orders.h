// The diffraction orders that are kept: whole shells of the reciprocal lattice round the origin, so that x and y are
// alike.
#pragma once

#include "cell.h"

#include <vector>

namespace tymbal::fourier {

struct Order {
    int m = 0, n = 0;         ///< multiples of the reciprocal periods
    double x = 0.0, y = 0.0;  ///< the vector G itself, rad per length
};

/// All orders with |G| <= reach * 2 pi/pitch, by rising |G|; the first is the zero order.
[[nodiscard]] std::vector<Order> orders_within(const Cell& cell, double reach);

/// The order that lies at G = (x, y).
[[nodiscard]] Order order_at(const Cell& cell, double x, double y);

/// Length of the shortest G but zero: light with a longer wavelength than 2 pi over it does not diffract at normal
/// incidence.
[[nodiscard]] double shortest_g(const Cell& cell);

}  // namespace tymbal::fourier
