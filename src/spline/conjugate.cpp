#include "conjugate.h"

#include "strips.h"

#include "tymbal/base/error.h"

#include <cmath>
#include <utility>

namespace tymbal::spline {

namespace {

constexpr int most_steps = 200;

/// Vectors of the iteration, and sums over them that do not depend on threads.
class Iteration {
public:
    Iteration(const Rows& a, const Multigrid& inverse, unsigned threads)
        : a_(a),
          inverse_(inverse),
          work_(inverse, a.fields),
          single_(size()),
          inverted_(size()),
          q(static_cast<Eigen::Index>(size())),
          threads_(threads) {}
    /// q = A p
    void multiply(const Vector& p) {
        for_each_strip(rows(), threads_, [&](Run run) {
            product(a_, p.data(), a_.fields, run, q.data() + run.from * static_cast<std::size_t>(a_.fields));
        });
    }
    /// z = C r. In single precision a residual may be too small a number: it is scaled.
    void invert(const Vector& r, Vector& z) {
        const double scale = r.cwiseAbs().maxCoeff();
        if (scale == 0.0) {
            z.setZero();
            return;
        }
        for (std::size_t k = 0; k < single_.size(); ++k)
            single_[k] = static_cast<float>(r[static_cast<Eigen::Index>(k)] / scale);
        inverse_.cycle(single_.data(), work_, inverted_.data());
        for (std::size_t k = 0; k < single_.size(); ++k)
            z[static_cast<Eigen::Index>(k)] = scale * static_cast<double>(inverted_[k]);
    }

private:
    [[nodiscard]] std::size_t rows() const { return static_cast<std::size_t>(a_.pattern->rows()); }
    [[nodiscard]] std::size_t size() const { return rows() * static_cast<std::size_t>(a_.fields); }

    const Rows& a_;
    const Multigrid& inverse_;
    Multigrid::Work work_;
    PageVector<float> single_, inverted_;

public:
    Vector q;

private:
    unsigned threads_;
};

}  // namespace

Solution conjugate_gradients(const Rows& a, const Multigrid& inverse, const Vector& load, double tolerance,
                             const SolveEffort& effort) {
    Iteration it(a, inverse, effort.cores());
    Solution out{Vector::Zero(load.size()), 0, 0.0};
    Vector r = load, z(load.size());
    it.invert(r, z);
    Vector p = z;
    double rz = r.dot(z);
    const double all = rz;
    while (rz > tolerance * tolerance * all) {
        effort.keep_going();
        if (++out.steps > most_steps) throw NoAnswer("the film's stress does not settle on this grid");
        it.multiply(p);
        const double pap = p.dot(it.q);
        if (!(pap > 0.0)) throw NoAnswer("the film cannot be balanced: part of it is not held, or it is not stable");
        const double length = rz / pap;
        out.x += length * p;
        r -= length * it.q;
        it.invert(r, z);
        const double share = -length * z.dot(it.q) / rz;
        p = z + share * p;
        rz = r.dot(z);
    }
    if (all > 0.0) out.residual = std::sqrt(std::max(rz, 0.0) / all);
    return out;
}

}  // namespace tymbal::spline
