// Whether a wet film comes out of the liquid: pull-in by capillary pressure, and whether a film that has touched lets
// go.
#pragma once

#include "tymbal/grid/grid.h"
#include "tymbal/grid/operators.h"

namespace tymbal {

/// The clamped film as a spring: all in SI, on the nodes of one grid.
struct WetFilm {
    SparseMatrix stiffness;  ///< N/m, see grid/operators.h; positive definite
    Vector area;             ///< of each node, m^2: where the pressure acts, holes included
    double gap = 0.0;        ///< m
};

/// Capillary strength S = gamma (cos a + cos b) of the two wetted faces, N/m; 2 gamma when both are wetted fully.
struct CollapseLimits {
    double local_strength = 0.0;      ///< least S that pulls the film in when the pressure is S/(g - w) at each place
    double local_deflection = 0.0;    ///< largest deflection just before, m
    double connected_strength = 0.0;  ///< least S that lets the film touch when one pressure S/g acts everywhere
};

/// Static deflection under a capillary pressure that grows as the gap closes, K w = S a/(g - w), followed in its
/// amplitude past the fold. The film's stretching is left out, which is on the safe side. Known fields: a square
/// collapses at S L^2/(N g^2) = 4.454, a disc at S R^2/(N g^2) = 1.310 [computed; in tests/release].
/// @throws NoAnswer when the stiffness is not positive definite
[[nodiscard]] CollapseLimits collapse_limits(const WetFilm& film);

/// The largest adhesion energy, J/m^2 of touching area, from which the film lets go by itself however much of it
/// touches. The touching parts tried are those that an even pressure deflects most; the film lets go when the elastic
/// energy that a step of detachment frees, 1/2 g^2 dC/dA with C the force per deflection of the touching part, exceeds
/// the adhesion at every size. On a disc this is exact: e^2 N g^2/(2 R^2) [derived]. Good to some 5 % on the grids in
/// use.
/// @param film_share  of the touching area that is film and not hole
[[nodiscard]] double releasing_adhesion(const WetFilm& film, double film_share);

}  // namespace tymbal
