// What a perforated film reflects and passes on, order by order.
#pragma once

#include "layer_modes.h"

#include <vector>

namespace tymbal::fourier {

struct Layer {
    Material material;
    double thickness = 0.0;  ///< length unit of the cell
    bool perforated = true;  ///< else the whole layer is `material.solid`
};

/// In the order in which the light meets them.
struct Layers {
    Complex above = 1.0;  ///< relative permittivity; real
    std::vector<Layer> layers;
    Complex below = 1.0;
};

enum class FieldAlong { x, y };  ///< electric field of the incident light: in the plane of incidence (x), or across

/// Tangential electric fields of each kept order at the films' faces, for an incident field of amplitude one.
struct Scattered {
    Eigen::VectorXcd r, t;          ///< in the spaces of E_x, E_y
    Complex even = 0.0, odd = 0.0;  ///< zero order for light from both sides, alike or opposite; only where both faces
                                    ///< are alike
};

[[nodiscard]] Scattered scatter(const CellMatrices& cell, const Layers& film, const Light& light, FieldAlong field);

/// The same fields, one column for each incident field.
struct Waves {
    Eigen::MatrixXcd r, t;
};

/// @param incident  columns: tangential electric fields from above, in the spaces of E_x, E_y
[[nodiscard]] Waves scatter_waves(const CellMatrices& cell, const Layers& film, const Light& light,
                                  const Eigen::MatrixXcd& incident);

/// Is this one perforated layer with the same on both faces?
[[nodiscard]] bool is_symmetric(const Layers& film);

/// The incident order among the unknowns, in the space of its own field.
[[nodiscard]] Eigen::Index incident(const CellMatrices& cell, FieldAlong field);

/// Power of each order over the incident power, into a half-space of this permittivity.
[[nodiscard]] Eigen::VectorXd power_by_order(const CellMatrices& cell, const Eigen::VectorXcd& field,
                                             Complex permittivity, const Light& light);

/// Power of the incident order of amplitude one in `permittivity`.
[[nodiscard]] double incident_power(Complex permittivity, const Light& light, FieldAlong field);

}  // namespace tymbal::fourier
