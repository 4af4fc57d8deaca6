// The bending layer at a clamped rim that is far thinner than any grid cell: where it moves the rim, and what it costs.
//
// Next to a straight clamped edge the film equation D lap^2 w - N lap w = m omega^2 w factors into (lap + k^2)(lap -
// kappa^2) w = 0 with kappa^2 = N/D + k^2. The slow part then meets the edge as w = (1/p) dw/dn, n out of the film,
// p^2 = N/D + k^2 + q^2, q the wave number along the edge [derived]. That is the same as holding the slow part at zero
// on the rim moved inwards by
//     d = delta - delta^3 (5 k^2 + q^2)/6 + O(delta^5),    delta = sqrt(D/N).
// A rim of curvature c adds delta^3 c^2/24 - delta^4 c^3/12 + ..., c < 0 where the film surrounds the rim [derived from
// the ratio K_0/K_1 at an inner rim]; the first of the two is a correction, the second counts as error.
// The first term is put into the grid (the rim is moved), the second into the frequency by Hadamard's formula
// d(lambda) = -contour N (dw/dn)^2 d(shift) / int m w^2. q^2 lies between 0 and k^2/2 on average over a mode: 1/4 is
// used.
#pragma once

#include "tymbal/film/film_map.h"
#include "tymbal/film/prestress.h"

#include <vector>

namespace tymbal {

/// What the layer does to one mode, everything per unit of int m w^2.
struct EdgeLayer {
    double energy = 0.0;       ///< contour sqrt(D N) (dw/dn)^2: first-order rise of lambda by the clamping
    double energy_x = 0.0;     ///< the part met by horizontal grid lines: of edges that face along x
    double doubtful = 0.0;     ///< the part of `energy` met near corners of the film, where slopes have no limit
    double uneven = 0.0;       ///< correction of lambda: local layer thickness against the mean one
    double third_order = 0.0;  ///< correction of lambda: second term of the shift, and the rim's curvature
    double model_error = 0.0;  ///< relative, on the frequency: what the series leaves out
};

/// Mean of the tension across the rim, N/m.
[[nodiscard]] double rim_tension(const TensionField& field);

/// The rim of a grid as the layer sees it.
struct LayerRim {
    double shift = 0.0;          ///< by how much it lies inside the true one, m
    double areal_density = 0.0;  ///< of the film there, kg/m^2
    /// Of rim_touches(grid, ...): places near corners, see modes/bending_band.h; empty: none.
    std::vector<bool> doubtful{};
};

/// @param w         mode shape with int m w^2 = 1
/// @param lambda    its omega^2
[[nodiscard]] EdgeLayer edge_layer(const Grid& grid, const Eigen::Ref<const Vector>& w, double lambda,
                                   const LayerRim& rim, const TensionField& field, const FilmMap& map);

/// Size of the error that the layer's series leaves in a frequency, relative. Calibrated on the clamped square and disc
/// in tests/modes (0.045 to 0.10 of (k delta)^4), plus the spread of q^2 in the third order.
/// @param k_delta  local wave number times layer thickness
/// @param third    relative third-order correction of the frequency
/// @param bent     first-order rise of the frequency by the layer times |delta c|^3, c the rim's curvature
[[nodiscard]] double layer_model_error(double k_delta, double third, double bent);

}  // namespace tymbal
