// The waves that run up and down in one perforated layer, and what a uniform half-space asks of tangential fields.
#pragma once

#include "cell_matrices.h"

#include <complex>

namespace tymbal::fourier {

using Complex = std::complex<double>;

/// One frequency and one direction. Fields exp(i kx x - i omega t) times periodic ones.
struct Light {
    Complex k0;       ///< omega/c, rad per length of the cell; complex at a pole
    double kx = 0.0;  ///< along the films, rad per the same length
};

struct Material {
    Complex solid, hole = 1.0;  ///< relative permittivities
};

/// Columns are modes: e = W exp(i q k0 z), h = (Q W/q) exp(i q k0 z), with e = (Ex, Ey), h = (Hy, -Hx).
struct LayerModes {
    Eigen::MatrixXcd w, qw;
    Eigen::VectorXcd q;  ///< Im q >= 0
};

[[nodiscard]] LayerModes solve_layer(const CellMatrices& cell, const Material& material, const Light& light);

/// h = Y e of waves that leave into a uniform half-space.
[[nodiscard]] Eigen::SparseMatrix<Complex> admittance(const CellMatrices& cell, Complex permittivity,
                                                      const Light& light);

/// The waves of a uniform layer in the same form.
[[nodiscard]] LayerModes uniform_layer(const CellMatrices& cell, Complex permittivity, const Light& light);

/// Normal component of the wave vector over k0 of each order: decays, or leaves, into +z.
[[nodiscard]] Eigen::VectorXcd normal_index(const CellMatrices& cell, Complex permittivity, const Light& light);

}  // namespace tymbal::fourier
