#include "tymbal/release/drying.h"

#include "tymbal/base/error.h"

#include <Eigen/SparseCholesky>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <vector>

namespace tymbal {

namespace {

using Factor = Eigen::SimplicialLDLT<SparseMatrix>;

constexpr double golden = 0.6180339887498949;

void factor(Factor& factored, const SparseMatrix& stiffness) {
    factored.compute(stiffness);
    if (factored.info() != Eigen::Success || factored.vectorD().minCoeff() <= 0.0)
        throw NoAnswer("the film buckles; it has no stiffness to set against a meniscus");
}

/// Follows the equilibria by their largest deflection.
class Branch {
public:
    explicit Branch(const WetFilm& film) : film_(film) { factor(factored_, film.stiffness); }

    /// Capillary strength in whose equilibrium the largest deflection is `top` < gap: the shape settles by itself when
    /// its height is held.
    [[nodiscard]] double strength_at(double top) {
        if (shape_.size() == 0) shape_ = scaled(factored_.solve(film_.area));
        double strength = 0.0;
        for (int step = 0; step < 200; ++step) {
            const Vector load = film_.area.array() / (film_.gap - top * shape_.array());
            const Vector answer = factored_.solve(load);
            const double next = top / answer.maxCoeff();
            shape_ = scaled(answer);
            if (std::abs(next - strength) < 1e-9 * next) return next;
            strength = next;
        }
        throw NoAnswer("the shape of the film under its meniscus did not settle; the film is too close to buckling");
    }

    [[nodiscard]] double deflection_per_pressure() const { return Vector(factored_.solve(film_.area)).maxCoeff(); }

private:
    [[nodiscard]] static Vector scaled(const Vector& w) { return w / w.maxCoeff(); }
    const WetFilm& film_;
    Factor factored_;
    Vector shape_;
};

/// Force per deflection of a set of nodes that move together, the rim held.
double joint_stiffness(const SparseMatrix& k, const std::vector<bool>& together) {
    std::vector<Eigen::Index> number(together.size(), -1);
    Eigen::Index free = 0;
    for (std::size_t n = 0; n < together.size(); ++n)
        if (!together[n]) number[n] = free++;
    std::vector<Eigen::Triplet<double>> entries;
    Vector pull = Vector::Zero(free);
    double direct = 0.0;
    for (Eigen::Index c = 0; c < k.outerSize(); ++c) {
        for (SparseMatrix::InnerIterator it(k, c); it; ++it) {
            const Eigen::Index row = number[static_cast<std::size_t>(it.row())];
            const Eigen::Index column = number[static_cast<std::size_t>(it.col())];
            if (row >= 0 && column >= 0) entries.emplace_back(row, column, it.value());
            if (row >= 0 && column < 0) pull[row] += it.value();
            if (row < 0 && column < 0) direct += it.value();
        }
    }
    if (free == 0) return direct;
    SparseMatrix rest(free, free);
    rest.setFromTriplets(entries.begin(), entries.end());
    Factor factored;
    factor(factored, rest);
    return direct - pull.dot(Vector(factored.solve(pull)));
}

}  // namespace

CollapseLimits collapse_limits(const WetFilm& film) {
    Branch branch(film);
    CollapseLimits limits;
    limits.connected_strength = film.gap * film.gap / branch.deflection_per_pressure();
    double low = 0.05 * film.gap, high = 0.9 * film.gap;  // the strength rises to the fold and falls beyond it
    double a = high - golden * (high - low), b = low + golden * (high - low);
    double at_a = branch.strength_at(a), at_b = branch.strength_at(b);
    while (high - low > 1e-4 * film.gap) {
        if (at_a > at_b) {
            high = b;
            b = a;
            at_b = at_a;
            at_a = branch.strength_at(a = high - golden * (high - low));
        } else {
            low = a;
            a = b;
            at_a = at_b;
            at_b = branch.strength_at(b = low + golden * (high - low));
        }
    }
    limits.local_strength = std::max(at_a, at_b);
    limits.local_deflection = 0.5 * (low + high);
    return limits;
}

double releasing_adhesion(const WetFilm& film, double film_share) {
    Factor factored;
    factor(factored, film.stiffness);
    const Vector sag = factored.solve(film.area);
    std::vector<Eigen::Index> order(static_cast<std::size_t>(sag.size()));
    std::iota(order.begin(), order.end(), Eigen::Index{0});
    std::stable_sort(order.begin(), order.end(), [&](Eigen::Index a, Eigen::Index b) { return sag[a] > sag[b]; });
    const double total = film.area.sum();
    // Touching shares of the outline round 1/e^2 = 0.135, where a disc holds on best.
    std::vector<bool> touching(order.size(), false);
    std::size_t taken = 0;
    double area = 0.0, last_area = 0.0, last_stiffness = 0.0, least = std::numeric_limits<double>::infinity();
    for (double share = 0.02; share < 0.42; share *= 1.6) {
        for (; taken < order.size() && area < share * total; ++taken) {
            touching[static_cast<std::size_t>(order[taken])] = true;
            area += film.area[order[taken]];
        }
        const double stiffness = joint_stiffness(film.stiffness, touching);
        if (last_area > 0.0)
            least = std::min(least, 0.5 * film.gap * film.gap * (stiffness - last_stiffness) / (area - last_area));
        last_area = area;
        last_stiffness = stiffness;
    }
    return least / film_share;
}

}  // namespace tymbal
