// Maxwell's equations for e = (Ex, Ey), h = (Hy, -Hx), lengths times k0, exp(-i omega t):
//     e' = i P h,  h' = i Q e,   P = I - K [[eps]]^-1 K^T,  Q = E2 - C C^T,   K = [kx; ky],  C = [ky; -kx]
//     P Q W = W q^2
// with the product eps e factorised across the holes' edges,
//     E2_ij = [[eps]] delta_ij - (D N_ij + N_ij D)/2,   D = [[eps]] - [[1/eps]]^-1,   N_ij = [[n_i n_j w]],
// symmetrised, so that flux and reciprocity hold exactly at every truncation. (That R + T = 1 therefore says nothing
// about the truncation.) Sources: Li, J. Opt. Soc. Am. A 13, 1870 (1996) and 14, 2758 (1997); Schuster et al., J. Opt.
// Soc. Am. A 24, 2880 (2007) (from memory, re-derived).
#include "layer_modes.h"

#include "tymbal/base/error.h"

#include <Eigen/Eigenvalues>

#include <vector>

namespace tymbal::fourier {

namespace {

template <class S>
using Matrix = Eigen::Matrix<S, Eigen::Dynamic, Eigen::Dynamic>;

template <class S>
S number(Complex value) {
    if constexpr (std::is_same_v<S, double>)
        return value.real();
    else
        return value;
}

/// In-plane wave vectors over k0, one per order.
template <class S>
struct InPlane {
    Eigen::Matrix<S, Eigen::Dynamic, 1> x, y;
};

template <class S>
InPlane<S> in_plane(const CellMatrices& cell, const Light& light) {
    const auto n = static_cast<Eigen::Index>(cell.orders.size());
    InPlane<S> out{Eigen::Matrix<S, Eigen::Dynamic, 1>(n), Eigen::Matrix<S, Eigen::Dynamic, 1>(n)};
    for (Eigen::Index k = 0; k < n; ++k) {
        const Order& order = cell.orders[static_cast<std::size_t>(k)];
        out.x[k] = number<S>((order.x + light.kx) / light.k0);
        out.y[k] = number<S>(order.y / light.k0);
    }
    return out;
}

/// left^T diag(d) right
template <class S>
Eigen::SparseMatrix<S> diagonal(const Space& left, const Eigen::Matrix<S, Eigen::Dynamic, 1>& d, const Space& right) {
    const Eigen::SparseMatrix<S> scaled = d.asDiagonal() * right.cast<S>();
    return left.transpose().cast<S>() * scaled;
}

template <class S>
Matrix<S> share(const Eigen::MatrixXd& open, S solid, S hole) {
    Matrix<S> out = (hole - solid) * open.cast<S>();
    out.diagonal().array() += solid;
    return out;
}

template <class S>
Matrix<S> jump(const Eigen::MatrixXd& open, const Matrix<S>& laurent, S solid, S hole) {
    const Matrix<S> inverse = share<S>(open, S(1.0) / solid, S(1.0) / hole).inverse();
    return laurent - inverse;
}

template <class S>
Matrix<S> stacked(const Eigen::SparseMatrix<S>& upper, const Eigen::SparseMatrix<S>& lower) {
    Matrix<S> out(upper.rows() + lower.rows(), upper.cols());
    out << Matrix<S>(upper), Matrix<S>(lower);
    return out;
}

/// E2 above.
template <class S>
Matrix<S> in_plane_permittivity(const CellMatrices& cell, S solid, S hole) {
    const Matrix<S> eps_x = share<S>(cell.open_x, solid, hole), eps_y = share<S>(cell.open_y, solid, hole);
    const Matrix<S> jump_x = jump<S>(cell.open_x, eps_x, solid, hole),
                    jump_y = jump<S>(cell.open_y, eps_y, solid, hole);
    const Matrix<S> xx = jump_x * cell.normal_xx.cast<S>(), yy = jump_y * cell.normal_yy.cast<S>();
    const Matrix<S> xy = jump_x * cell.normal_xy.cast<S>() + cell.normal_xy.cast<S>() * jump_y;
    const Eigen::Index n = eps_x.rows(), m = eps_y.rows();
    Matrix<S> out(n + m, n + m);
    out.topLeftCorner(n, n) = eps_x - S(0.5) * (xx + xx.transpose());
    out.topRightCorner(n, m) = S(-0.5) * xy;
    out.bottomLeftCorner(m, n) = S(-0.5) * xy.transpose();
    out.bottomRightCorner(m, m) = eps_y - S(0.5) * (yy + yy.transpose());
    return out;
}

LayerModes modes_of(const Eigen::MatrixXd& p, const Eigen::MatrixXd& q) {
    const Eigen::EigenSolver<Eigen::MatrixXd> solver(p * q);
    if (solver.info() != Eigen::Success) throw NoAnswer("the waves in the perforated film were not found");
    LayerModes out{solver.eigenvectors(), {}, solver.eigenvalues()};
    const Eigen::MatrixXd real =
        out.w.real();  // of clear films most waves are: a complex product would cost four times
    out.qw = (q * real).cast<Complex>();
    if (const Eigen::MatrixXd imaginary = out.w.imag(); imaginary.any()) out.qw.imag() = q * imaginary;
    return out;
}

LayerModes modes_of(const Eigen::MatrixXcd& p, const Eigen::MatrixXcd& q) {
    const Eigen::ComplexEigenSolver<Eigen::MatrixXcd> solver(p * q);
    if (solver.info() != Eigen::Success) throw NoAnswer("the waves in the perforated film were not found");
    LayerModes out{solver.eigenvectors(), {}, solver.eigenvalues()};
    out.qw = q * out.w;
    return out;
}

/// The root that decays, or leaves, into +z. Beside the real axis a wave that runs is told by its real part.
Complex root(Complex square) {
    constexpr double grazing = 1e-20;  // exactly there an order's admittance has no limit
    if (std::abs(square) < grazing) square = grazing;
    const Complex q = std::sqrt(square);  // real part >= 0
    return square.real() > 0.0 || q.imag() >= 0.0 ? q : -q;
}

template <class S>
LayerModes solve(const CellMatrices& cell, const Material& material, const Light& light) {
    const S solid = number<S>(material.solid), hole = number<S>(material.hole);
    const InPlane<S> k = in_plane<S>(cell, light);
    const Matrix<S> along = stacked<S>(diagonal<S>(cell.ex, k.x, cell.ez), diagonal<S>(cell.ey, k.y, cell.ez));
    const Matrix<S> across = stacked<S>(diagonal<S>(cell.ex, k.y, cell.hz),
                                        diagonal<S>(cell.ey, Eigen::Matrix<S, Eigen::Dynamic, 1>(-k.x), cell.hz));
    Matrix<S> p = -along * share<S>(cell.open_z, solid, hole).partialPivLu().solve(along.transpose());
    p.diagonal().array() += S(1.0);
    const Matrix<S> q = in_plane_permittivity<S>(cell, solid, hole) - across * across.transpose();
    LayerModes out = modes_of(p, q);
    for (Complex& value : out.q) value = root(value);
    return out;
}

}  // namespace

LayerModes solve_layer(const CellMatrices& cell, const Material& material, const Light& light) {
    const bool real = light.k0.imag() == 0.0 && material.solid.imag() == 0.0 && material.hole.imag() == 0.0;
    return real ? solve<double>(cell, material, light) : solve<Complex>(cell, material, light);
}

Eigen::VectorXcd normal_index(const CellMatrices& cell, Complex permittivity, const Light& light) {
    const InPlane<Complex> k = in_plane<Complex>(cell, light);
    Eigen::VectorXcd out = permittivity - k.x.array().square() - k.y.array().square();
    for (Complex& value : out) value = root(value);
    return out;
}

Eigen::SparseMatrix<Complex> admittance(const CellMatrices& cell, Complex permittivity, const Light& light) {
    const InPlane<Complex> k = in_plane<Complex>(cell, light);
    const Eigen::ArrayXcd q = normal_index(cell, permittivity, light).array();
    const Eigen::VectorXcd xx = (permittivity - k.y.array().square()) / q, xy = k.x.array() * k.y.array() / q,
                           yy = (permittivity - k.x.array().square()) / q;
    const Eigen::Index n = cell.ex.cols(), m = cell.ey.cols();
    std::vector<Eigen::Triplet<Complex>> entries;
    const auto place = [&](const Eigen::SparseMatrix<Complex>& block, Eigen::Index row, Eigen::Index column) {
        for (Eigen::Index c = 0; c < block.cols(); ++c)
            for (Eigen::SparseMatrix<Complex>::InnerIterator it(block, c); it; ++it)
                entries.emplace_back(row + it.row(), column + c, it.value());
    };
    place(diagonal<Complex>(cell.ex, xx, cell.ex), 0, 0);
    place(diagonal<Complex>(cell.ex, xy, cell.ey), 0, n);
    place(diagonal<Complex>(cell.ey, xy, cell.ex), n, 0);
    place(diagonal<Complex>(cell.ey, yy, cell.ey), n, n);
    Eigen::SparseMatrix<Complex> out(n + m, n + m);
    out.setFromTriplets(entries.begin(), entries.end());
    return out;
}

LayerModes uniform_layer(const CellMatrices& cell, Complex permittivity, const Light& light) {
    const Eigen::Index n = cell.unknowns();
    const Eigen::VectorXcd q = normal_index(cell, permittivity, light);
    LayerModes out{Eigen::MatrixXcd::Identity(n, n), {}, Eigen::VectorXcd(n)};
    // mirror images share one q, so any order of a function tells it
    const auto tell = [&](const Space& space, Eigen::Index from) {
        for (Eigen::Index c = 0; c < space.cols(); ++c) out.q[from + c] = q[Space::InnerIterator(space, c).row()];
    };
    tell(cell.ex, 0);
    tell(cell.ey, cell.ex.cols());
    out.qw = admittance(cell, permittivity, light) * out.q.asDiagonal();
    return out;
}

}  // namespace tymbal::fourier
