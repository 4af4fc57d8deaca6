// A film with the same on both faces is even or odd in z. With X = exp(i q k0 h) and unknown amplitudes a at its upper
// face
//     even: e = W (1 + X) a,    h = Q W (1 - X)/q a
//     odd:  e = W q (1 - X) a,  h = Q W (1 + X) a
//     e = u + r, h = V0 (u - r)  =>  (V0 e + h) a = 2 V0 u,   r = (r_even + r_odd)/2,  t = (r_even - r_odd)/2
// Other films carry the admittance h = Y e of what lies below upwards, layer by layer, with decaying exponentials only:
//     rho = (V + Y W)^-1 (V - Y W),  T = X rho X,  e = W (1 + T) a,  h = V (1 - T) a
// (Li, J. Opt. Soc. Am. A 13, 1024 (1996), on recursions without growing exponentials; from memory, re-derived.)
#include "scattering.h"

#include <cmath>

namespace tymbal::fourier {

namespace {

using Matrix = Eigen::MatrixXcd;
using Vector = Eigen::VectorXcd;
using Outside = Eigen::SparseMatrix<Complex>;

Eigen::ArrayXcd across(const LayerModes& modes, double thickness, const Light& light) {
    return (Complex(0.0, 1.0) * light.k0 * thickness * modes.q.array()).exp();
}

/// Reflected field of a film whose upper face has the fields e a, h a.
Matrix reflected(const Outside& outside, const Matrix& e, const Matrix& h, const Matrix& u) {
    const Matrix whole = outside * e + h;
    return e * whole.partialPivLu().solve(Matrix(2.0 * (outside * u))) - u;
}

Waves scatter_symmetric(const CellMatrices& cell, const Layers& film, const Light& light, const Matrix& u) {
    const LayerModes modes = solve_layer(cell, film.layers.front().material, light);
    const Outside outside = admittance(cell, film.above, light);
    const Eigen::ArrayXcd x = across(modes, film.layers.front().thickness, light), q = modes.q.array();
    const auto half = [&](const Eigen::ArrayXcd& of_e, const Eigen::ArrayXcd& of_h) {
        return reflected(outside, modes.w * of_e.matrix().asDiagonal(), modes.qw * of_h.matrix().asDiagonal(), u);
    };
    const Matrix even = half(1.0 + x, (1.0 - x) / q), odd = half(q * (1.0 - x), 1.0 + x);
    return {0.5 * (even + odd), 0.5 * (even - odd)};
}

/// Fields of one layer over what is below it, per amplitude a.
struct Carried {
    Matrix e, h;  ///< at its upper face
    Matrix e_below;
};

Carried carry(const LayerModes& modes, const Eigen::ArrayXcd& x, const Matrix& below) {
    const Matrix v = modes.qw * modes.q.cwiseInverse().asDiagonal();
    const Matrix carried = below * modes.w;
    const Matrix rho = Matrix(v + carried).partialPivLu().solve(v - carried) * x.matrix().asDiagonal();
    const Matrix there_and_back = x.matrix().asDiagonal() * rho;
    const Matrix one = Matrix::Identity(v.rows(), v.cols());
    return {modes.w * (one + there_and_back), v * (one - there_and_back),
            modes.w * (Matrix(x.matrix().asDiagonal()) + rho)};
}

Waves scatter_layers(const CellMatrices& cell, const Layers& film, const Light& light, const Matrix& u) {
    Matrix y = admittance(cell, film.below, light);
    std::vector<Carried> steps;
    for (auto layer = film.layers.rbegin(); layer != film.layers.rend(); ++layer) {
        const LayerModes modes = layer->perforated ? solve_layer(cell, layer->material, light)
                                                   : uniform_layer(cell, layer->material.solid, light);
        steps.push_back(carry(modes, across(modes, layer->thickness, light), y));
        y = steps.back().e.transpose().partialPivLu().solve(steps.back().h.transpose()).transpose();  // h e^-1
    }
    const Outside outside = admittance(cell, film.above, light);
    Matrix e = Matrix(y + outside).partialPivLu().solve(Matrix(2.0 * (outside * u)));
    Waves out{e - u, {}};
    for (auto step = steps.rbegin(); step != steps.rend(); ++step) e = step->e_below * step->e.partialPivLu().solve(e);
    out.t = e;
    return out;
}

}  // namespace

bool is_symmetric(const Layers& film) {
    return film.layers.size() == 1 && film.layers.front().perforated && film.above == film.below;
}

Eigen::Index incident(const CellMatrices& cell, FieldAlong field) {
    return field == FieldAlong::x ? 0 : cell.ex.cols();  // the zero order comes first in each space that holds it
}

Waves scatter_waves(const CellMatrices& cell, const Layers& film, const Light& light, const Matrix& incident) {
    return is_symmetric(film) ? scatter_symmetric(cell, film, light, incident)
                              : scatter_layers(cell, film, light, incident);
}

Scattered scatter(const CellMatrices& cell, const Layers& film, const Light& light, FieldAlong field) {
    const Eigen::Index port = incident(cell, field);
    const Waves waves = scatter_waves(cell, film, light, Vector::Unit(cell.unknowns(), port));
    Scattered out{waves.r.col(0), waves.t.col(0)};
    if (!is_symmetric(film)) return out;
    out.even = out.r[port] + out.t[port];
    out.odd = out.r[port] - out.t[port];
    return out;
}

Eigen::VectorXd power_by_order(const CellMatrices& cell, const Vector& field, Complex permittivity,
                               const Light& light) {
    const Vector h = admittance(cell, permittivity, light) * field;
    const Eigen::Index n = cell.ex.cols(), m = cell.ey.cols();
    const Eigen::ArrayXcd ex = cell.ex * field.head(n), ey = cell.ey * field.tail(m);
    const Eigen::ArrayXcd hx = cell.ex * h.head(n), hy = cell.ey * h.tail(m);
    return (ex.conjugate() * hx + ey.conjugate() * hy).real();
}

double incident_power(Complex permittivity, const Light& light, FieldAlong field) {
    const double sine = light.kx / light.k0.real(), q = std::sqrt(permittivity.real() - sine * sine);
    return field == FieldAlong::x ? permittivity.real() / q : q;
}

}  // namespace tymbal::fourier
