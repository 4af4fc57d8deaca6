// Film stress from how far a wafer bends: Stoney's relation with films on either face, and what its uncertainty hangs
// on.
#pragma once

#include "tymbal/base/material.h"
#include "tymbal/base/warning.h"

#include <string>
#include <vector>

namespace tymbal {

/// Faces that carry a film.
enum class Faces { none, front, back, both };

/// How much a film counts for bending: front minus back thickness, in units of its own.
/// @param back_over_front  thickness on the back over that on the front
[[nodiscard]] double net_faces(Faces faces, double back_over_front);

/// What bends the wafer besides the film, known from elsewhere.
struct OtherLayer {
    std::string name;
    Sourced<Length> thickness;
    Sourced<Stress> stress;
    Faces before = Faces::none;
    Faces after = Faces::none;
};

/// Curvatures are positive where the film's face is hollow, as a tensile film on the front makes it.
struct WaferBend {
    Sourced<Length> wafer_thickness;
    double biaxial_modulus = 0.0;  ///< Pa, see biaxial_modulus
    double biaxial_modulus_std = 0.0;
    Sourced<InverseLength> before;
    Sourced<InverseLength> after;
    Sourced<Length> film_front;
    Sourced<Length> film_back;  ///< counts where a state has the film on its back
    Faces films_before = Faces::none;
    Faces films_after = Faces::front;
    std::vector<OtherLayer> others;
};

struct StressShare {
    std::string input;
    double stress_pa = 0.0;  ///< change of the stress by one deviation of the input
};

struct StressResult {
    double stress_pa = 0.0;
    double stress_std_pa = 0.0;
    double tension_n_per_m = 0.0;  ///< stress times front thickness: film thickness drops out of it
    double tension_std_n_per_m = 0.0;
    std::vector<StressShare> shares;  ///< largest first
};

/// stress = [M h_s^2 (k_after - k_before)/6 - sum of other layers' changes]/(h net_after - h net_before), M the biaxial
/// modulus. First order in film over wafer thickness. Deviations are propagated input by input.
/// Source: Stoney, Proc. R. Soc. A 82, 172 (1909), in the biaxial form of Janssen et al., Thin Solid Films 517, 1858
/// (2009) (from memory, re-derived).
/// @throws NoAnswer when the films of the two states cancel within two deviations
[[nodiscard]] StressResult stoney(const WaferBend& bend);

/// Biaxial modulus of a (100) or (111) cubic wafer, or E/(1 - nu): c11 + c12 - 2 c12^2/c11 and 6 c44 (c11 + 2 c12)/(c11
/// + 2 c12 + 4 c44). Source: Brantley, J. Appl. Phys. 44, 534 (1973) (from memory, re-derived).
/// @throws NoAnswer when the row has no elastic constants
struct Biaxial {
    double modulus = 0.0;
    double deviation = 0.0;
};
[[nodiscard]] Biaxial biaxial_modulus(const Solid& solid, bool surface_111);

/// Curvature of a chord: 8 B/D^2 for a bow B over a scan of length D, with deviations.
[[nodiscard]] Sourced<InverseLength> curvature_of_bow(const Sourced<Length>& bow, const Sourced<Length>& scan);
[[nodiscard]] Sourced<InverseLength> curvature_of_radius(const Sourced<Length>& radius);

}  // namespace tymbal
