#include "tymbal/grid/eigenpairs.h"

#include "tymbal/base/error.h"

#include <Spectra/SymEigsShiftSolver.h>
#include <Eigen/SparseCholesky>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <numeric>
#include <string>
#include <utility>
#include <vector>

namespace tymbal {

namespace {

using Factor = Eigen::SimplicialLDLT<SparseMatrix>;
/// For matrices whose rows are already in a good order of elimination.
using OrderedFactor = Eigen::SimplicialLDLT<SparseMatrix, Eigen::Lower, Eigen::NaturalOrdering<int>>;
using Order = Eigen::PermutationMatrix<Eigen::Dynamic, Eigen::Dynamic, int>;

template <class AnyFactor>
void factor_definite(AnyFactor& factor, const SparseMatrix& stiffness) {
    factor.compute(stiffness);
    if (factor.info() != Eigen::Success) throw NoAnswer("the stiffness matrix cannot be factored");
    const auto negative = (factor.vectorD().array() <= 0.0).count();
    if (negative > 0)
        throw NoAnswer(
            "the flat film is not stable: " + std::to_string(negative) +
            " shape(s) buckle under its compressive stress; raise film.stress above zero or make the outline "
            "smaller");
}

/// Negative pivots of K - limit M.
template <class AnyFactor>
Eigen::Index pivots_below(const SparseMatrix& stiffness, const Vector& mass, double limit) {
    SparseMatrix shifted = stiffness;
    for (Eigen::Index k = 0; k < shifted.rows(); ++k) shifted.coeffRef(k, k) -= limit * mass[k];
    const AnyFactor factor(shifted);
    return (factor.vectorD().array() < 0.0).count();
}

/// Inverse of the scaled stiffness M^-1/2 K M^-1/2, as the eigensolver wants it. Only shift zero is asked for.
/// Its values are divided by `unit`, close to the lowest of them: the eigensolver's tolerance is absolute below 1e-11.
class InverseOperator {
public:
    using Scalar = double;
    InverseOperator(const SparseMatrix& scaled, const Vector& start) : size_(scaled.rows()) {
        factor_definite(factor_, scaled);
        unit_ = start.norm() / factor_.solve(start).norm();
    }
    [[nodiscard]] double unit() const { return unit_; }
    [[nodiscard]] Eigen::Index rows() const { return size_; }
    [[nodiscard]] Eigen::Index cols() const { return size_; }
    void set_shift(double) {}
    void perform_op(const double* in, double* out) const {
        const Eigen::Map<const Vector> x(in, size_);
        Vector y = unit_ * factor_.solve(x);
        if (known_.cols() > 0) y -= known_ * (known_.transpose() * y);
        Eigen::Map<Vector>(out, size_) = y;
    }
    /// From now on these orthonormal vectors are seen as belonging to infinite values.
    void deflate(const Eigen::MatrixXd& known) { known_ = known; }

private:
    Eigen::Index size_;
    double unit_ = 1.0;
    OrderedFactor factor_;
    Eigen::MatrixXd known_;
};

struct Found {
    Vector values;
    Eigen::MatrixXd vectors;  ///< orthonormal
};

Found iterate(InverseOperator& inverse, const Vector& start, Eigen::Index count) {
    const Eigen::Index basis = std::min(inverse.rows(), std::max<Eigen::Index>(2 * count + 8, 20));
    Spectra::SymEigsShiftSolver<InverseOperator> solver(inverse, count, basis, 0.0);
    solver.init(start.data());
    solver.compute(Spectra::SortRule::LargestMagn, 1000, 1e-12, Spectra::SortRule::SmallestAlge);
    if (solver.info() != Spectra::CompInfo::Successful)
        throw NoAnswer("the eigensolver did not converge; ask for fewer modes or a coarser accuracy");
    return {inverse.unit() * solver.eigenvalues(), solver.eigenvectors()};
}

/// The lowest `count` of both, rising.
Found merged(const Found& a, const Found& b, Eigen::Index count) {
    Found all{Vector(a.values.size() + b.values.size()),
              Eigen::MatrixXd(a.vectors.rows(), a.values.size() + b.values.size())};
    all.values << a.values, b.values;
    all.vectors << a.vectors, b.vectors;
    std::vector<Eigen::Index> order(static_cast<std::size_t>(all.values.size()));
    std::iota(order.begin(), order.end(), Eigen::Index{0});
    std::stable_sort(order.begin(), order.end(),
                     [&](Eigen::Index i, Eigen::Index j) { return all.values[i] < all.values[j]; });
    Found lowest{Vector(count), Eigen::MatrixXd(a.vectors.rows(), count)};
    for (Eigen::Index k = 0; k < count; ++k) {
        lowest.values[k] = all.values[order[static_cast<std::size_t>(k)]];
        lowest.vectors.col(k) = all.vectors.col(order[static_cast<std::size_t>(k)]);
    }
    return lowest;
}

/// A single-vector iteration can miss one of two equal values: all values up to the widest gap near the end are
/// counted, and missing ones are looked for beside those already found.
Found complete(InverseOperator& inverse, const SparseMatrix& scaled, const Vector& start, Found found) {
    constexpr int rounds = 4;
    const Eigen::Index count = found.values.size();
    for (int round = 0; round < rounds; ++round) {
        Eigen::Index below = count - 1;  // values below the wider of the last two gaps
        for (Eigen::Index k = std::max<Eigen::Index>(1, count - 2); k < count - 1; ++k)
            if (found.values[k] / found.values[k - 1] > found.values[below] / found.values[below - 1]) below = k;
        const double limit = std::sqrt(found.values[below] * found.values[below - 1]);
        const Eigen::Index missing = pivots_below<OrderedFactor>(scaled, Vector::Ones(scaled.rows()), limit) - below;
        if (missing <= 0) return found;
        inverse.deflate(found.vectors);
        found = merged(found, iterate(inverse, start, missing), count);
    }
    throw NoAnswer("the eigensolver misses modes of equal frequency; ask for one mode more or less");
}

double worst_residual(const SparseMatrix& stiffness, const Vector& mass, const Eigenpairs& pairs) {
    double worst = 0.0;
    for (Eigen::Index k = 0; k < pairs.values.size(); ++k) {
        const Vector inertia = pairs.values[k] * mass.cwiseProduct(pairs.vectors.col(k));
        worst = std::max(worst, (stiffness * pairs.vectors.col(k) - inertia).norm() / inertia.norm());
    }
    return worst;
}

/// Vectors that are even (+1) or odd (-1) under each mirror: one basis vector for each orbit of unknowns that the signs
/// do not cancel, its entries +-1/sqrt(size).
struct SymmetryClass {
    std::vector<Eigen::Index> first;  ///< unknown that stands for the orbit
    std::vector<Eigen::Index> orbit;  ///< of each unknown, -1: zero in this class
    std::vector<double> sign;         ///< of each unknown against the first one
    std::vector<double> size;         ///< of each orbit
};

/// @param odd  bit m: odd under mirror m
SymmetryClass symmetry_class(Eigen::Index unknowns, const std::vector<Mirror>& mirrors, unsigned odd) {
    const auto n = static_cast<std::size_t>(unknowns);
    SymmetryClass out{{}, std::vector<Eigen::Index>(n, -1), std::vector<double>(n, 0.0), {}};
    for (std::size_t k = 0; k < n; ++k) {
        std::vector<std::pair<std::size_t, double>> images{{k, 1.0}};
        for (std::size_t m = 0; m < mirrors.size(); ++m)
            for (std::size_t i = 0, now = images.size(); i < now; ++i)
                images.emplace_back(mirrors[m][images[i].first],
                                    (odd >> m & 1U) != 0U ? -images[i].second : images[i].second);
        double self = 0.0;  // sum of the signs with which the orbit comes back to k
        bool lowest = true;
        for (const auto& [to, sign] : images) {
            if (to == k) self += sign;
            lowest = lowest && to >= k;
        }
        if (!lowest || self == 0.0) continue;
        for (const auto& [to, sign] : images) {
            out.orbit[to] = static_cast<Eigen::Index>(out.first.size());
            out.sign[to] = sign;
        }
        out.first.push_back(static_cast<Eigen::Index>(k));
        out.size.push_back(static_cast<double>(images.size()) / std::abs(self));
    }
    return out;
}

/// The matrix on the basis of the class, which it must not lead out of.
SparseMatrix folded(const SparseMatrix& matrix, const SymmetryClass& part) {
    const auto size = static_cast<Eigen::Index>(part.first.size());
    std::vector<Eigen::Triplet<double>> entries;
    entries.reserve(static_cast<std::size_t>(matrix.nonZeros() / std::max<Eigen::Index>(1, matrix.rows()) + 1) *
                    part.first.size());
    for (Eigen::Index r = 0; r < size; ++r) {
        const auto row = static_cast<std::size_t>(r);
        for (SparseMatrix::InnerIterator it(matrix, part.first[row]); it; ++it) {
            const auto other = static_cast<std::size_t>(it.index());
            const Eigen::Index c = part.orbit[other];
            if (c < 0) continue;
            const double weight = std::sqrt(part.size[row] / part.size[static_cast<std::size_t>(c)]);
            entries.emplace_back(c, r, weight * part.sign[other] * it.value());
        }
    }
    SparseMatrix out(size, size);
    out.setFromTriplets(entries.begin(), entries.end());
    return out;
}

Eigen::MatrixXd unfolded(const Eigen::Ref<const Eigen::MatrixXd>& vectors, const SymmetryClass& part) {
    Eigen::MatrixXd out = Eigen::MatrixXd::Zero(static_cast<Eigen::Index>(part.orbit.size()), vectors.cols());
    for (std::size_t k = 0; k < part.orbit.size(); ++k) {
        if (part.orbit[k] < 0) continue;
        const double weight = part.sign[k] / std::sqrt(part.size[static_cast<std::size_t>(part.orbit[k])]);
        out.row(static_cast<Eigen::Index>(k)) = weight * vectors.row(part.orbit[k]);
    }
    return out;
}

/// A fixed vector without symmetry.
Vector plain_start(Eigen::Index size) {
    return Vector::LinSpaced(size, 1.0, 1.7 * static_cast<double>(size)).array().sin() + 1.1;
}

/// Does the matrix commute with the mirror?
bool symmetric_under(const SparseMatrix& matrix, const Mirror& mirror) {
    if (static_cast<Eigen::Index>(mirror.size()) != matrix.rows()) return false;
    const Eigen::Map<const Eigen::VectorXi> image(mirror.data(), matrix.rows());
    const Vector v = plain_start(matrix.rows());
    const Vector after = matrix * v, before = matrix * Vector(v(image));
    return (Vector(after(image)) - before).norm() < 1e-9 * after.norm();
}

/// Are all loads their own image?
bool even_under(const Eigen::MatrixXd& loads, const Mirror& mirror) {
    const Eigen::Map<const Eigen::VectorXi> image(mirror.data(), loads.rows());
    return (Eigen::MatrixXd(loads(image, Eigen::all)) - loads).norm() < 1e-9 * loads.norm();
}

/// The lowest of one class, at most as many as it can hold. The order of elimination is found once for both factors.
Found lowest_of(const SparseMatrix& scaled, Eigen::Index count) {
    const Eigen::Index size = scaled.rows();
    const Vector start = plain_start(size);
    Order order;
    Eigen::AMDOrdering<int>()(scaled, order);
    SparseMatrix ordered(size, size);
    ordered = scaled.twistedBy(order.inverse());
    const Vector begin = order.inverse() * start;
    InverseOperator inverse(ordered, begin);
    Found found = iterate(inverse, begin, std::min(count, size - 2));
    if (found.values.size() > 1) found = complete(inverse, ordered, begin, std::move(found));
    found.vectors = order * found.vectors;
    return found;
}

/// Shapes of one symmetry, and the problem that they are the solutions of.
struct Part {
    SymmetryClass basis;
    SparseMatrix matrix;
    double share = 1.0;   ///< of all shapes
    int evenness = 0;     ///< mirrors under which they are even, less those under which they are odd
    bool paired = false;  ///< each with its image under the exchange of x and y
    Found found;
};

/// The mirrors that a problem has been found to be symmetric under.
struct Symmetry {
    std::vector<Mirror> mirrors;  ///< in x, in y, or both
    Mirror exchange;              ///< empty, or with both
};

Part part_of(const SparseMatrix& scaled, const std::vector<Mirror>& mirrors, unsigned odd) {
    Part out;
    out.basis = symmetry_class(scaled.rows(), mirrors, odd);
    out.matrix = folded(scaled, out.basis);
    for (std::size_t m = 0; m < mirrors.size(); ++m) {
        out.evenness += (odd >> m & 1U) != 0U ? -1 : 1;
        out.share /= 2.0;
    }
    return out;
}

/// Where x and y can be exchanged, shapes even in both or odd in both are even or odd under the exchange as well, and
/// those odd in y alone are the images of those odd in x alone.
std::vector<Part> parts_of(const SparseMatrix& scaled, const Symmetry& symmetry) {
    std::vector<Part> parts;
    if (symmetry.exchange.empty()) {
        for (unsigned c = 0; c < 1U << symmetry.mirrors.size(); ++c)
            parts.push_back(part_of(scaled, symmetry.mirrors, c));
        return parts;
    }
    std::vector<Mirror> all = symmetry.mirrors;
    all.push_back(symmetry.exchange);
    for (const unsigned odd : {0U, 4U, 3U, 7U}) parts.push_back(part_of(scaled, all, odd));
    parts.push_back(part_of(scaled, symmetry.mirrors, 1U));
    parts.back().paired = true;
    return parts;
}

/// How many of the lowest `count` shapes are likely to be of one class, and one beyond. A mirror line is a free edge to
/// even shapes and a held one to odd ones: Weyl's law gives each some .15 sqrt(count) more or less.
Eigen::Index likely(const Part& part, Eigen::Index count) {
    const auto all = static_cast<double>(count);
    return std::max<Eigen::Index>(
        2, static_cast<Eigen::Index>(std::ceil(part.share * all + 0.15 * part.evenness * std::sqrt(all) + 2.0)));
}

/// One pair among those of all classes.
struct Place {
    double value = 0.0;
    std::size_t part = 0;
    Eigen::Index number = 0;
    bool exchanged = false;
};

std::vector<Place> rising(const std::vector<Part>& parts) {
    std::vector<Place> all;
    for (std::size_t c = 0; c < parts.size(); ++c)
        for (Eigen::Index k = 0; k < parts[c].found.values.size(); ++k) {
            all.push_back({parts[c].found.values[k], c, k, false});
            if (parts[c].paired) all.push_back({parts[c].found.values[k], c, k, true});
        }
    std::stable_sort(all.begin(), all.end(), [](const Place& a, const Place& b) { return a.value < b.value; });
    return all;
}

Vector shape_at(const Place& at, const std::vector<Part>& parts, const Mirror& exchange) {
    const Part& part = parts[at.part];
    Vector shape = unfolded(part.found.vectors.col(at.number), part.basis);
    if (!at.exchanged) return shape;
    return shape(Eigen::Map<const Eigen::VectorXi>(exchange.data(), shape.size()));
}

/// Class by class: a first guess of how many each holds is raised where a class has not shown that it holds no more.
Found by_classes(const SparseMatrix& scaled, const Symmetry& symmetry, Eigen::Index count) {
    std::vector<Part> parts = parts_of(scaled, symmetry);
    for (Part& part : parts) part.found = lowest_of(part.matrix, likely(part, count));
    for (;;) {
        const std::vector<Place> order = rising(parts);
        bool sure = order.size() >= static_cast<std::size_t>(count);
        const double last = sure ? order[static_cast<std::size_t>(count) - 1].value : 0.0;
        for (Part& part : parts) {
            const Eigen::Index known = part.found.values.size();
            if (known >= part.matrix.rows() - 2 || (last > 0.0 && part.found.values[known - 1] >= last)) continue;
            part.found = lowest_of(part.matrix, 2 * known);
            sure = false;
        }
        if (!sure) continue;
        Found all{Vector(count), Eigen::MatrixXd(scaled.rows(), count)};
        for (Eigen::Index k = 0; k < count; ++k) {
            const Place& at = order[static_cast<std::size_t>(k)];
            all.values[k] = at.value;
            all.vectors.col(k) = shape_at(at, parts, symmetry.exchange);
        }
        return all;
    }
}

/// A class without an answer leaves it to the whole problem, which counts all the shapes that buckle.
Found solved(const SparseMatrix& scaled, const Symmetry& symmetry, Eigen::Index count) {
    if (symmetry.mirrors.empty()) return lowest_of(scaled, count);
    try {
        return by_classes(scaled, symmetry, count);
    } catch (const NoAnswer&) {
        return lowest_of(scaled, count);
    }
}

Symmetry symmetry_of(const SparseMatrix& scaled, const Mirrors& mirrors) {
    Symmetry out;
    for (const Mirror* mirror : {&mirrors.in_x, &mirrors.in_y})
        if (symmetric_under(scaled, *mirror)) out.mirrors.push_back(*mirror);
    if (out.mirrors.size() == 2 && symmetric_under(scaled, mirrors.exchange)) out.exchange = mirrors.exchange;
    return out;
}

}  // namespace

Eigen::Index count_below(const SparseMatrix& stiffness, const Vector& mass, double limit) {
    return pivots_below<Factor>(stiffness, mass, limit);
}

Eigenpairs lowest_eigenpairs(const SparseMatrix& stiffness, const Vector& mass, int count, const Mirrors& mirrors) {
    const Eigen::Index size = stiffness.rows();
    if (count > size - 2) throw NoAnswer("the grid has fewer nodes than modes are asked for");
    const Vector scale = mass.cwiseSqrt().cwiseInverse();
    const SparseMatrix scaled = scale.asDiagonal() * stiffness * scale.asDiagonal();
    constexpr Eigen::Index least_nodes = 16;  // for each mode: small problems gain nothing
    const Symmetry symmetry = size >= least_nodes * count ? symmetry_of(scaled, mirrors) : Symmetry{};
    const Found found = solved(scaled, symmetry, count);
    Eigenpairs pairs{found.values, scale.asDiagonal() * found.vectors, 0.0};
    pairs.worst_residual = worst_residual(stiffness, mass, pairs);
    if (!(pairs.worst_residual < 1e-6)) throw NoAnswer("the eigensolver's modes do not satisfy their equation");
    return pairs;
}

bool is_definite(const SparseMatrix& stiffness) {
    const Factor factor(stiffness);
    return factor.info() == Eigen::Success && (factor.vectorD().array() > 0.0).all();
}

Eigen::MatrixXd solve_static(const SparseMatrix& stiffness, const Eigen::MatrixXd& loads,
                             const std::vector<Mirror>& mirrors) {
    std::vector<Mirror> kept;
    for (const Mirror& mirror : mirrors)
        if (symmetric_under(stiffness, mirror) && even_under(loads, mirror)) kept.push_back(mirror);
    const SymmetryClass even = symmetry_class(stiffness.rows(), kept, 0);
    Factor factor;
    factor_definite(factor, kept.empty() ? stiffness : folded(stiffness, even));
    if (kept.empty()) return factor.solve(loads);
    Eigen::MatrixXd part(static_cast<Eigen::Index>(even.first.size()), loads.cols());
    for (std::size_t r = 0; r < even.first.size(); ++r)
        part.row(static_cast<Eigen::Index>(r)) = std::sqrt(even.size[r]) * loads.row(even.first[r]);
    return unfolded(factor.solve(part), even);
}

}  // namespace tymbal
