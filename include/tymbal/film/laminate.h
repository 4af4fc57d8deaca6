// Layers on the film: the uniform film that pulls, weighs, stretches and bends like all of them together.
#pragma once

#include "tymbal/film/film.h"

#include <vector>

namespace tymbal {

/// One layer's share of the whole; the film itself comes first.
struct LayerShare {
    std::string name;
    double tension = 0.0;  ///< of the whole tension
    double mass = 0.0;
    double bending = 0.0;          ///< of the bending stiffness about the common neutral plane
    double inverse_quality = 0.0;  ///< of its own bending
};

struct Laminate {
    Film film;               ///< equivalent: one thickness, modulus, stress and density for all layers
    double neutral_m = 0.0;  ///< neutral plane above the film's lower face
    double moment_n = 0.0;   ///< sum of stress times lever about it, N: bends free edges, not a clamped flat film
    std::vector<LayerShare> shares;
};

/// Thickness and modulus are chosen such that both stretching and bending stiffness are those of the layers:
/// h = sqrt(12 D/A), A = sum E h/(1 - nu^2), D = sum E/(1 - nu^2) (h^3/12 + h (z - z0)^2), z0 the neutral plane;
/// stress, density, expansion, conductivity and heat follow from their sums, intrinsic loss from each layer's share of
/// D. Deviations of layer thickness and stress are carried as deviation of the equivalent stress, because frequencies
/// hang on the sums of stress and mass. Source: Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, 2nd ed.,
/// ch. 11; classical lamination theory (from memory, re-derived). A film without layers is returned as it is.
/// @throws NoAnswer when a layer's row lacks what is needed
[[nodiscard]] Laminate laminate_of(const Film& film);

}  // namespace tymbal
