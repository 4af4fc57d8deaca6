#include "tymbal/fit/film_fit.h"

#include "tymbal/base/constants.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double tilt_prior = 0.05;    // films as deposited are equal-biaxial; uneven mounts and sides are not far off
constexpr double growth_prior = 2e-6;  // m, over-etch at the edge: the scale of undercuts
constexpr double largest_step = 0.3;   // of ln(stress)
constexpr int most_steps = 30;

/// Which parameter moves what.
struct Layout {
    std::vector<FittedParameter> parameters;
    Index tilt = -1, growth = -1;
    std::vector<std::vector<Index>> inputs;  ///< per device and input, -1: exact
    std::vector<Index> bent;                 ///< those on which ln f does not depend linearly
};

bool shared(const std::string& name) {
    return name.rfind("film.", 0) == 0 || name.rfind("holes.", 0) == 0;
}

bool is_size(const std::string& name) {
    return name.rfind("outline.", 0) == 0;
}

Index add_parameter(Layout& layout, const std::string& name, double prior) {
    const auto found = std::find_if(layout.parameters.begin(), layout.parameters.end(),
                                    [&](const FittedParameter& p) { return p.name == name; });
    if (found != layout.parameters.end()) return found - layout.parameters.begin();
    layout.parameters.push_back({name, 0.0, prior, prior});
    return static_cast<Index>(layout.parameters.size()) - 1;
}

Layout lay_out_parameters(const std::vector<const LineModel*>& models, const FitFreedom& freedom) {
    Layout layout;
    layout.bent.push_back(add_parameter(layout, "film.stress", freedom.stress_deviation));
    if (freedom.tilt) layout.bent.push_back(layout.tilt = add_parameter(layout, "film.tilt", tilt_prior));
    if (freedom.growth) layout.growth = add_parameter(layout, "outline.growth", growth_prior);
    for (std::size_t d = 0; d < models.size(); ++d) {
        layout.inputs.emplace_back();
        for (const Input& input : models[d]->inputs) {
            const double least = is_size(input.name) ? freedom.least_size_deviation : 0.0;
            const double prior = std::max(input.deviation, least);
            const bool own = !shared(input.name) && d > 0;
            const std::string name =
                own ? std::string(input.name).append("@").append(std::to_string(d + 1)) : input.name;
            layout.inputs.back().push_back(prior > 0.0 ? add_parameter(layout, name, prior) : -1);
            if (prior > 0.0 && input.axis != Axis::none) layout.bent.push_back(layout.inputs.back().back());
        }
    }
    return layout;
}

Shift shift_of(const Layout& layout, std::size_t device, const VectorXd& x) {
    const auto& map = layout.inputs[device];
    Shift shift{x[0], layout.tilt >= 0 ? x[layout.tilt] : 0.0, layout.growth >= 0 ? x[layout.growth] : 0.0,
                VectorXd::Zero(static_cast<Index>(map.size()))};
    for (std::size_t j = 0; j < map.size(); ++j)
        if (map[j] >= 0) shift.inputs[static_cast<Index>(j)] = x[map[j]];
    return shift;
}

class Problem {
public:
    Problem(const std::vector<const LineModel*>& models, const std::vector<Datum>& data, const FitFreedom& freedom)
        : models_(models), data_(data), layout_(lay_out_parameters(models, freedom)) {
        precision_.resize(static_cast<Index>(layout_.parameters.size()));
        centre_ = VectorXd::Zero(precision_.size());
        centre_[0] = freedom.stress_centre;
        for (Index j = 0; j < precision_.size(); ++j) {
            const double prior = layout_.parameters[static_cast<std::size_t>(j)].prior;
            precision_[j] = 1.0 / (prior * prior);
        }
    }

    [[nodiscard]] const Layout& layout() const { return layout_; }
    [[nodiscard]] const VectorXd& precision() const { return precision_; }
    [[nodiscard]] const VectorXd& centre() const { return centre_; }

    [[nodiscard]] VectorXd residuals(const VectorXd& x) const {
        std::vector<VectorXd> logs;
        for (std::size_t d = 0; d < models_.size(); ++d)
            logs.push_back(log_frequencies(*models_[d], shift_of(layout_, d, x)));
        VectorXd r(static_cast<Index>(data_.size()));
        for (std::size_t i = 0; i < data_.size(); ++i)
            r[static_cast<Index>(i)] =
                data_[i].log_frequency - logs[data_[i].device][static_cast<Index>(data_[i].line)];
        return r;
    }

    /// d ln f / d x by differences for what enters the tension's parts, from the weights for the rest.
    [[nodiscard]] MatrixXd jacobian(const VectorXd& x) const {
        constexpr double step = 1e-6;
        MatrixXd j = MatrixXd::Zero(static_cast<Index>(data_.size()), x.size());
        for (const Index column : layout_.bent) {
            VectorXd more = x, less = x;
            more[column] += step;
            less[column] -= step;
            j.col(column) = (residuals(less) - residuals(more)) / (2.0 * step);
        }
        for (std::size_t i = 0; i < data_.size(); ++i) {
            const Line& line = models_[data_[i].device]->lines[data_[i].line];
            const auto row = static_cast<Index>(i);
            const auto& map = layout_.inputs[data_[i].device];
            for (std::size_t n = 0; n < map.size(); ++n)
                if (map[n] >= 0 && models_[data_[i].device]->inputs[n].axis == Axis::none)
                    j(row, map[n]) += line.weights[n];
            if (layout_.growth >= 0) j(row, layout_.growth) = line.growth;
        }
        return j;
    }

    [[nodiscard]] VectorXd weights(double scatter) const {
        VectorXd w(static_cast<Index>(data_.size()));
        for (std::size_t i = 0; i < data_.size(); ++i) {
            const double s = data_[i].deviation;
            w[static_cast<Index>(i)] = 1.0 / std::max(s * s + scatter * scatter, 1e-24);
        }
        return w;
    }

private:
    const std::vector<const LineModel*>& models_;
    const std::vector<Datum>& data_;
    Layout layout_;
    VectorXd precision_, centre_;  ///< of the priors
};

struct Solution {
    VectorXd x, residuals;
    MatrixXd covariance;
    double log_det = 0.0;  ///< of the Hessian
    double taken = 0.0;    ///< freedom that the parameters took from the data
};

Solution solve(const Problem& problem, VectorXd x, const VectorXd& weights) {
    Solution out;
    for (int step = 0; step < most_steps; ++step) {
        const MatrixXd j = problem.jacobian(x);
        const VectorXd r = problem.residuals(x);
        MatrixXd hessian = j.transpose() * weights.asDiagonal() * j;
        hessian.diagonal() += problem.precision();
        const VectorXd gradient =
            j.transpose() * (weights.asDiagonal() * r) - problem.precision().cwiseProduct(x - problem.centre());
        const Eigen::LDLT<MatrixXd> factor(hessian);
        VectorXd move = factor.solve(gradient);
        const double size = std::abs(move[0]);
        if (size > largest_step) move *= largest_step / size;
        x += move;
        const double change = (move.array().square() * problem.precision().array()).sum();
        if (change < 1e-18 || step + 1 == most_steps) {
            out.covariance = factor.solve(MatrixXd::Identity(x.size(), x.size()));
            out.log_det = factor.vectorD().array().max(1e-300).log().sum();
            out.taken = static_cast<double>(x.size()) - out.covariance.diagonal().dot(problem.precision());
            break;
        }
    }
    out.residuals = problem.residuals(x);
    out.x = std::move(x);
    return out;
}

double chi_square(const Solution& s, const VectorXd& weights) {
    return s.residuals.array().square().matrix().dot(weights);
}

/// The solution with the scatter at which chi-square meets the freedom left; zero when it already does.
Solution solve_with_scatter(const Problem& problem, std::size_t data, double& scatter) {
    const auto excess = [&](Solution& s, double tau) {
        s = solve(problem, s.x, problem.weights(tau));
        return chi_square(s, problem.weights(tau)) - (static_cast<double>(data) - s.taken);
    };
    Solution s;
    s.x = problem.centre();
    scatter = 1e-7;
    if (excess(s, scatter) <= 0.0) return s;
    double low = std::log(scatter), high = std::log(0.1);
    for (int step = 0; step < 24; ++step) {
        const double middle = 0.5 * (low + high);
        (excess(s, std::exp(middle)) > 0.0 ? low : high) = middle;
    }
    scatter = std::exp(high);
    return solve(problem, s.x, problem.weights(scatter));
}

}  // namespace

FilmFit fit_film(const std::vector<const LineModel*>& models, const std::vector<Datum>& data,
                 const FitFreedom& freedom) {
    const Problem problem(models, data, freedom);
    FilmFit out;
    Solution s;
    if (freedom.scatter) {
        out.scatter = *freedom.scatter;
        s = solve(problem, problem.centre(), problem.weights(out.scatter));
    } else {
        s = solve_with_scatter(problem, data.size(), out.scatter);
    }
    const VectorXd weights = problem.weights(out.scatter);
    out.parameters = problem.layout().parameters;
    for (std::size_t j = 0; j < out.parameters.size(); ++j) {
        const auto k = static_cast<Index>(j);
        out.parameters[j].shift = s.x[k];
        out.parameters[j].deviation = std::sqrt(s.covariance(k, k));
    }
    for (std::size_t d = 0; d < models.size(); ++d) out.shifts.push_back(shift_of(problem.layout(), d, s.x));
    out.residuals.assign(s.residuals.data(), s.residuals.data() + s.residuals.size());
    out.chi_square = chi_square(s, problem.weights(0.0));
    out.freedom = static_cast<double>(data.size()) - s.taken;
    const VectorXd& precision = problem.precision();
    out.log_evidence =
        0.5 * (-chi_square(s, weights) - (s.x - problem.centre()).array().square().matrix().dot(precision) - s.log_det +
               precision.array().log().sum() + weights.array().log().sum() -
               static_cast<double>(data.size()) * std::log(2.0 * constants::pi));
    out.covariance = std::move(s.covariance);
    return out;
}

double correlation(const FilmFit& fit, std::size_t a, std::size_t b) {
    const auto i = static_cast<Index>(a), j = static_cast<Index>(b);
    return fit.covariance(i, j) / std::sqrt(fit.covariance(i, i) * fit.covariance(j, j));
}

}  // namespace tymbal
