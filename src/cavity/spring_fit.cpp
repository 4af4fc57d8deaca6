// With kappa given, f_k = f + q S_k and w_k = w + q D_k are linear in f, w and q = g0^2: S and D are spring and damping
// of optical_force for g0 = 1. So ln kappa alone is searched for; what was known of it before counts as one more datum.
#include "tymbal/cavity/spring_fit.h"

#include "tymbal/base/error.h"
#include "tymbal/cavity/cooling.h"

#include "../base/golden.h"

#include <Eigen/Dense>

#include <algorithm>
#include <cmath>
#include <set>

namespace tymbal {

namespace {

constexpr std::size_t fewest_detunings = 4, fewest_values = 5;
constexpr double surely = 2.0;  // deviations by which an effect of light must stand out

/// One measured number and its weight; first the frequencies, then the widths.
struct Value {
    std::size_t line = 0;
    bool is_width = false;
    double measured = 0.0;
    double deviation = 0.0;
    bool stated = false;
};

std::vector<Value> values_of(const std::vector<DetunedLine>& lines) {
    std::vector<Value> all;
    for (std::size_t k = 0; k < lines.size(); ++k)
        all.push_back(
            {k, false, lines[k].frequency_hz, lines[k].frequency_deviation_hz, lines[k].frequency_deviation_hz > 0.0});
    for (std::size_t k = 0; k < lines.size(); ++k)
        if (lines[k].width_hz)
            all.push_back(
                {k, true, *lines[k].width_hz, lines[k].width_deviation_hz, lines[k].width_deviation_hz > 0.0});
    return all;
}

/// Frequency and width without light, and g0^2; the width is 0 where none was measured.
struct Linear {
    Eigen::Vector3d x = Eigen::Vector3d::Zero();
    double cost = 0.0;  ///< chi^2
};

class Lines {
public:
    Lines(const std::vector<DetunedLine>& lines, const SpringLight& light)
        : lines_(lines), light_(light), values_(values_of(lines)) {
        for (const DetunedLine& line : lines) middle_hz_ += line.frequency_hz / static_cast<double>(lines.size());
        for (Value& v : values_)
            if (!v.stated) v.deviation = 1.0;  // Hz; their scatter is told by the first fit
    }

    /// Rows of the linear problem, not weighted. Widths alone tell the second unknown.
    [[nodiscard]] Eigen::MatrixXd rows(double kappa_hz) const {
        Eigen::MatrixXd a = Eigen::MatrixXd::Zero(count(), 3);
        const CavityLine cavity{light_.wavelength_m, kappa_hz, light_.input_share * kappa_hz};
        for (Eigen::Index k = 0; k < count(); ++k) {
            const Value& v = values_[static_cast<std::size_t>(k)];
            const OpticalForce force =
                optical_force(cavity, {middle_hz_, 0.0, 0.0, 1.0}, {light_.power_w, lines_[v.line].detuning_hz});
            a(k, v.is_width ? 1 : 0) = 1.0;
            a(k, 2) = v.is_width ? force.damping_hz : force.spring_hz;
        }
        return a;
    }

    [[nodiscard]] Linear solve(double kappa_hz) const {
        const Eigen::VectorXd w = weights();
        const Eigen::MatrixXd a = w.asDiagonal() * rows(kappa_hz);
        // Relative to the middle: a hertz of a megahertz must not drown in rounding.
        const Eigen::VectorXd b = w.cwiseProduct(measured());
        Linear out;
        out.x = a.colPivHouseholderQr().solve(b);
        out.cost = (a * out.x - b).squaredNorm();
        return out;
    }

    /// chi^2 with what was known of kappa.
    [[nodiscard]] double cost(double ln_kappa) const {
        return solve(std::exp(ln_kappa)).cost + std::pow((ln_kappa - known()) / light_.kappa_deviation, 2);
    }

    /// ln kappa of the least cost, within four deviations of what was known.
    [[nodiscard]] double best() const {
        constexpr int half = 40, steps = 2 * half;
        constexpr double reach = 4.0;
        const double step = 2.0 * reach * light_.kappa_deviation / steps;
        const auto at = [&](int k) { return known() + (k - half) * step; };
        int least = 0;
        for (int k = 1; k <= steps; ++k)
            if (cost(at(k)) < cost(at(least))) least = k;
        return highest_between([&](double x) { return -cost(x); }, at(least) - step, at(least) + step);
    }

    /// Values without a stated deviation take that of their kind's scatter.
    void weigh_by_scatter(double ln_kappa, const Eigen::Vector3d& x) {
        const Eigen::VectorXd off = rows(std::exp(ln_kappa)) * x - measured();
        const double unknowns = 4.0 / static_cast<double>(values_.size());
        for (const bool widths : {false, true}) {
            double sum = 0.0, number = 0.0;
            for (std::size_t k = 0; k < values_.size(); ++k) {
                if (values_[k].is_width != widths || values_[k].stated) continue;
                sum += std::pow(off[static_cast<Eigen::Index>(k)], 2);
                number += 1.0;
            }
            const double scatter = number > 0.0 ? std::sqrt(sum / (number * (1.0 - unknowns))) : 0.0;
            for (Value& v : values_)
                if (v.is_width == widths && !v.stated) v.deviation = std::max(scatter, 1e-12 * middle_hz_);
        }
    }

    /// Covariance of the linear unknowns and ln kappa.
    [[nodiscard]] Eigen::Matrix4d covariance(double ln_kappa, const Eigen::Vector3d& x) const {
        constexpr double step = 1e-4;
        const Eigen::VectorXd w = weights();
        Eigen::MatrixXd j = Eigen::MatrixXd::Zero(count() + 1, 4);
        j.topLeftCorner(count(), 3) = w.asDiagonal() * rows(std::exp(ln_kappa));
        const Eigen::VectorXd change = (rows(std::exp(ln_kappa + step)) - rows(std::exp(ln_kappa - step))) * x;
        j.topRightCorner(count(), 1) = w.cwiseProduct(change) / (2.0 * step);
        j(count(), 3) = 1.0 / light_.kappa_deviation;
        if (!has_widths()) j.col(1).setZero();
        const Eigen::Matrix4d normal = j.transpose() * j;
        return normal.completeOrthogonalDecomposition().pseudoInverse();
    }

    [[nodiscard]] bool has_widths() const { return values_.back().is_width; }
    [[nodiscard]] bool all_stated() const {
        return std::all_of(values_.begin(), values_.end(), [](const Value& v) { return v.stated; });
    }
    /// chi^2 of the values with a stated deviation, over their part of the degrees of freedom: what was known of kappa
    /// counts as a value.
    [[nodiscard]] std::optional<double> misfit(double ln_kappa, const Eigen::Vector3d& x) const {
        const Eigen::VectorXd off = weights().cwiseProduct(rows(std::exp(ln_kappa)) * x - measured());
        double sum = 0.0, stated = 0.0;
        for (std::size_t k = 0; k < values_.size(); ++k) {
            if (!values_[k].stated) continue;
            sum += std::pow(off[static_cast<Eigen::Index>(k)], 2);
            stated += 1.0;
        }
        const double all = static_cast<double>(values_.size()), freedom = all - (has_widths() ? 3.0 : 2.0);
        return stated > 0.0 ? std::optional<double>(sum / (stated * freedom / all)) : std::nullopt;
    }

    [[nodiscard]] std::size_t size() const { return values_.size(); }
    [[nodiscard]] double middle_hz() const { return middle_hz_; }

private:
    [[nodiscard]] Eigen::Index count() const { return static_cast<Eigen::Index>(values_.size()); }
    [[nodiscard]] double known() const { return std::log(light_.kappa_hz); }
    [[nodiscard]] Eigen::VectorXd weights() const {
        Eigen::VectorXd w(count());
        for (Eigen::Index k = 0; k < count(); ++k) w[k] = 1.0 / values_[static_cast<std::size_t>(k)].deviation;
        return w;
    }
    /// Frequencies less their middle.
    [[nodiscard]] Eigen::VectorXd measured() const {
        Eigen::VectorXd b(count());
        for (Eigen::Index k = 0; k < count(); ++k) {
            const Value& v = values_[static_cast<std::size_t>(k)];
            b[k] = v.measured - (v.is_width ? 0.0 : middle_hz_);
        }
        return b;
    }

    const std::vector<DetunedLine>& lines_;
    const SpringLight& light_;
    std::vector<Value> values_;
    double middle_hz_ = 0.0;
};

void require_enough(const std::vector<DetunedLine>& lines, std::size_t values) {
    std::set<double> detunings;
    for (const DetunedLine& line : lines) detunings.insert(line.detuning_hz);
    if (detunings.size() >= fewest_detunings && values >= fewest_values) return;
    throw NoAnswer(
        "fewer than four detunings, or five measured values, do not part coupling, frequency and width without light; "
        "measure at more detunings, on both flanks of the resonance if it is stable there");
}

void require_effect(double g0_squared, double deviation) {
    if (g0_squared > surely * deviation) return;
    throw NoAnswer(
        "frequency and width do not follow the detuning beyond their scatter as light would make them; check sign "
        "(laser less cavity) and unit of the detunings, take more power or detunings nearer half the cavity's width");
}

}  // namespace

SpringFit fit_spring(const std::vector<DetunedLine>& lines, const SpringLight& light) {
    constexpr int rounds = 6;  // weights by scatter settle in three
    Lines problem(lines, light);
    require_enough(lines, problem.size());
    double ln_kappa = problem.best();
    for (int k = 0; k < rounds && !problem.all_stated(); ++k) {
        problem.weigh_by_scatter(ln_kappa, problem.solve(std::exp(ln_kappa)).x);
        ln_kappa = problem.best();
    }
    const Linear at = problem.solve(std::exp(ln_kappa));
    const std::optional<double> misfit = problem.misfit(ln_kappa, at.x);
    const Eigen::Matrix4d covariance = problem.covariance(ln_kappa, at.x) * std::max(1.0, misfit.value_or(1.0));
    const auto deviation = [&](int k) { return std::sqrt(std::max(0.0, covariance(k, k))); };
    require_effect(at.x[2], deviation(2));
    SpringFit out;
    out.light = light;
    out.g0_hz = std::sqrt(at.x[2]);
    out.g0_deviation_hz = 0.5 * deviation(2) / out.g0_hz;
    out.kappa_hz = std::exp(ln_kappa);
    out.kappa_deviation_hz = out.kappa_hz * std::min(deviation(3), light.kappa_deviation);
    out.kappa_is_found = deviation(3) < 0.5 * light.kappa_deviation;
    out.frequency_hz = problem.middle_hz() + at.x[0];
    out.frequency_deviation_hz = deviation(0);
    if (problem.has_widths()) {
        out.linewidth_hz = at.x[1];
        out.linewidth_deviation_hz = deviation(1);
    }
    out.misfit = misfit;
    return out;
}

DetunedLine line_at(const SpringFit& fit, double detuning_hz) {
    const CavityLine cavity{fit.light.wavelength_m, fit.kappa_hz, fit.light.input_share * fit.kappa_hz};
    const OpticalForce force =
        optical_force(cavity, {fit.frequency_hz, 0.0, 0.0, fit.g0_hz}, {fit.light.power_w, detuning_hz});
    return {detuning_hz, fit.frequency_hz + force.spring_hz, 0.0, fit.linewidth_hz.value_or(0.0) + force.damping_hz,
            0.0};
}

}  // namespace tymbal
