// With a what leaves the film downwards at its lower face, R and T the film's answers from below and
// U = X rho X, X = exp(i q k0 g), what comes back over the gap,
//     a = (1 - R U)^-1 t,   r = r0 + T U a,   dr/dg = T (U' a + U (1 - R U)^-1 R U' a),   U' = i k0 (q U + U q)
// and the power that goes on below the film is that of e = (1 + U) a, h = V0 (1 - U) a.
#include "film_ports.h"

#include <algorithm>
#include <cmath>

namespace tymbal::fourier {

namespace {

using Matrix = Eigen::MatrixXcd;
using Vector = Eigen::VectorXcd;

constexpr double lost = 1e-12;

std::vector<Eigen::Index> kept_of(const Vector& decay, Eigen::Index port, double gap) {
    std::vector<Eigen::Index> out{port};
    for (Eigen::Index k = 0; k < decay.size(); ++k)
        if (k != port && std::exp(4.0 * decay[k].real() * gap) > lost) out.push_back(k);
    return out;
}

Layers upside_down(Layers film) {
    std::reverse(film.layers.begin(), film.layers.end());
    std::swap(film.above, film.below);
    return film;
}

double power(const Vector& e, const Vector& h) {
    return e.dot(h).real();
}

}  // namespace

FilmPorts film_ports(const CellMatrices& cell, const Layers& film, const Light& light, FieldAlong field,
                     double least_gap) {
    FilmPorts out;
    const Vector decay = Complex(0.0, 1.0) * light.k0 * uniform_layer(cell, 1.0, light).q;
    out.kept = kept_of(decay, incident(cell, field), least_gap);
    out.decay = decay(out.kept);
    out.admittance = Matrix(admittance(cell, 1.0, light))(out.kept, out.kept);
    const Matrix each = Matrix(Matrix::Identity(cell.unknowns(), cell.unknowns()))(Eigen::all, out.kept);
    const Waves from_below = scatter_waves(cell, upside_down(film), light, each);
    out.back = from_below.r(out.kept, Eigen::all);
    out.up = from_below.t(out.kept, Eigen::all);
    const bool alike = is_symmetric(film);
    const Waves from_above = alike ? from_below : scatter_waves(cell, film, light, each.col(0));
    out.front = from_above.r(out.kept, 0);
    out.down = from_above.t(out.kept, 0);
    return out;
}

Matrix surface_of(const CellMatrices& cell, const FilmPorts& film, Complex permittivity, const Light& light) {
    const Matrix below = Matrix(admittance(cell, permittivity, light))(film.kept, film.kept);
    return Matrix(film.admittance + below).partialPivLu().solve(film.admittance - below);
}

OverGap over_gap(const FilmPorts& film, const Matrix& surface, double gap) {
    const Vector x = (film.decay * gap).array().exp();
    const Matrix u = x.asDiagonal() * surface * x.asDiagonal();
    const Matrix moved = film.decay.asDiagonal() * u + u * film.decay.asDiagonal();
    const Matrix one = Matrix::Identity(u.rows(), u.cols());
    const auto round = Matrix(one - film.back * u).partialPivLu();
    const Vector a = round.solve(film.down), sent = u * a, more = moved * a;
    const Vector r = film.front + film.up * sent;
    const Vector slope = film.up * (more + u * round.solve(film.back * more));
    const double reflected = power(r, film.admittance * r), onward = power(a + sent, film.admittance * (a - sent));
    return {r[0], slope[0], 1.0 - reflected - onward};
}

}  // namespace tymbal::fourier
