#include "tymbal/fit/film_fit.h"

#include "tymbal/base/constants.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace tymbal {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double tilt_prior = 0.05;     // films as deposited are equal-biaxial; uneven mounts and sides are not far off
constexpr double growth_prior = 2e-6;   // m, over-etch at the edge: the scale of undercuts
constexpr double gradient_prior = 5.0;  // 1/m: five per cent over a chip of 10 mm; a wafer's films vary by less
constexpr double least_apart = 1e-4;    // m along an axis, from which a gradient along it is asked for
constexpr double largest_step = 0.3;    // of ln f
constexpr int most_steps = 30;

/// How a parameter moves one input of one device: by the same factor, or by the same change of what `scale` is.
struct Handle {
    Index parameter = -1;  ///< -1: exact
    double scale = 0.0;    ///< value whose change is shared over this device's own; 0: the factor is shared
};

/// Which parameter moves what.
struct Layout {
    std::vector<FittedParameter> parameters;
    Index tilt = -1;
    std::array<Index, 2> gradient{-1, -1};    ///< along x and y
    std::vector<Index> growth;                ///< per device, -1: edges lie where the design has them
    std::vector<std::vector<Handle>> inputs;  ///< per device and input
    std::vector<Index> bent;                  ///< those on which ln f depends through the tension's parts
};

bool is_size(const std::string& name) {
    return name.rfind("outline.", 0) == 0;
}

bool is_parameter(const FittedParameter& p, const std::string& name, std::optional<std::size_t> device) {
    return p.name == name && p.device == device;
}

Index add_parameter(Layout& layout, const std::string& name, std::optional<std::size_t> device, double prior) {
    const auto found = std::find_if(layout.parameters.begin(), layout.parameters.end(),
                                    [&](const FittedParameter& p) { return is_parameter(p, name, device); });
    if (found != layout.parameters.end()) return found - layout.parameters.begin();
    layout.parameters.push_back({name, device, 0.0, prior, prior});
    return static_cast<Index>(layout.parameters.size()) - 1;
}

bool same_rim(const Rim& a, const Rim& b) {
    return a.name == b.name && std::abs(a.value - b.value) <= 1e-6 * std::abs(a.value);
}

/// The device whose edge is etched like that of device `d`; empty when all edges of its kind are.
std::optional<std::size_t> rim_owner(const std::vector<const LineModel*>& models, std::size_t d) {
    std::optional<std::size_t> first;
    bool all = true;
    for (std::size_t k = 0; k < models.size(); ++k) {
        if (models[k]->rim.name != models[d]->rim.name) continue;
        if (!same_rim(models[k]->rim, models[d]->rim))
            all = false;
        else if (!first)
            first = k;
    }
    return all ? std::nullopt : first;
}

Index lay_out_growth(Layout& layout, const std::vector<const LineModel*>& models, std::size_t d, bool free) {
    const Rim& rim = models[d]->rim;
    if (!free && rim.deviation == 0.0) return -1;
    return add_parameter(layout, rim.name, rim_owner(models, d), rim.deviation > 0.0 ? rim.deviation : growth_prior);
}

/// The value that the first device with this input gives it: changes are counted from there.
double first_value(const std::vector<const LineModel*>& models, const std::string& name) {
    for (const LineModel* model : models)
        for (const Input& input : model->inputs)
            if (input.name == name) return input.value;
    return 1.0;
}

/// How far the devices lie apart along an axis.
double apart(const std::vector<const LineModel*>& models, std::size_t axis) {
    double low = models.front()->place_m[axis], high = low;
    for (const LineModel* model : models) {
        low = std::min(low, model->place_m[axis]);
        high = std::max(high, model->place_m[axis]);
    }
    return high - low;
}

void lay_out_gradient(Layout& layout, const std::vector<const LineModel*>& models) {
    const std::array<const char*, 2> names{"film.stress_gradient_x", "film.stress_gradient_y"};
    for (std::size_t axis = 0; axis < 2; ++axis) {
        if (apart(models, axis) < least_apart) continue;
        layout.gradient[axis] = add_parameter(layout, names[axis], {}, gradient_prior);
        layout.bent.push_back(layout.gradient[axis]);
    }
}

Layout lay_out_parameters(const std::vector<const LineModel*>& models, const FitFreedom& freedom) {
    Layout layout;
    layout.bent.push_back(add_parameter(layout, "film.stress", {}, freedom.stress_deviation));
    if (freedom.tilt) layout.bent.push_back(layout.tilt = add_parameter(layout, "film.tilt", {}, tilt_prior));
    if (freedom.gradient) lay_out_gradient(layout, models);
    for (std::size_t d = 0; d < models.size(); ++d) {
        layout.growth.push_back(lay_out_growth(layout, models, d, freedom.growth));
        layout.inputs.emplace_back();
        for (const Input& input : models[d]->inputs) {
            const double least = is_size(input.name) ? freedom.least_size_deviation : 0.0;
            const double prior = std::max(input.deviation, least);
            const auto owner = input.sharing == Sharing::none ? std::optional<std::size_t>(d) : std::nullopt;
            Handle handle;
            if (prior > 0.0) handle.parameter = add_parameter(layout, input.name, owner, prior);
            if (input.sharing == Sharing::change) handle.scale = first_value(models, input.name) / input.value;
            layout.inputs.back().push_back(handle);
            if (prior > 0.0 && input.axis != Axis::none) layout.bent.push_back(handle.parameter);
        }
    }
    return layout;
}

/// ln of a device's own value over where its model was solved, for a parameter at x.
double moved(const Handle& handle, double x) {
    return handle.scale == 0.0 ? x : std::log(std::max(1.0 + handle.scale * std::expm1(x), 1e-3));
}

double moved_slope(const Handle& handle, double x) {
    return handle.scale == 0.0 ? 1.0 : handle.scale * std::exp(x) / std::max(1.0 + handle.scale * std::expm1(x), 1e-3);
}

double growth_of(const Layout& layout, std::size_t device, const VectorXd& x) {
    return layout.growth[device] >= 0 ? x[layout.growth[device]] : 0.0;
}

double across(const Layout& layout, const std::array<double, 2>& place_m, const VectorXd& x) {
    double sum = 0.0;
    for (std::size_t axis = 0; axis < 2; ++axis)
        if (layout.gradient[axis] >= 0) sum += place_m[axis] * x[layout.gradient[axis]];
    return sum;
}

Shift shift_of(const Layout& layout, const LineModel& model, std::size_t device, const VectorXd& x) {
    const auto& map = layout.inputs[device];
    Shift shift{x[0], layout.tilt >= 0 ? x[layout.tilt] : 0.0, growth_of(layout, device, x),
                VectorXd::Zero(static_cast<Index>(map.size())), across(layout, model.place_m, x)};
    for (std::size_t j = 0; j < map.size(); ++j)
        if (map[j].parameter >= 0) shift.inputs[static_cast<Index>(j)] = moved(map[j], x[map[j].parameter]);
    return shift;
}

/// How far from the design the models were solved, by the parameters of the fit that led there.
VectorXd solved_at(const Layout& layout, const std::vector<FittedParameter>& from) {
    VectorXd at = VectorXd::Zero(static_cast<Index>(layout.parameters.size()));
    for (std::size_t j = 0; j < layout.parameters.size(); ++j)
        for (const FittedParameter& p : from)
            if (is_parameter(p, layout.parameters[j].name, layout.parameters[j].device))
                at[static_cast<Index>(j)] = p.shift;
    return at;
}

class Problem {
public:
    Problem(const std::vector<const LineModel*>& models, const std::vector<Datum>& data, const FitFreedom& freedom)
        : models_(models), data_(data), layout_(lay_out_parameters(models, freedom)) {
        precision_.resize(static_cast<Index>(layout_.parameters.size()));
        centre_ = -solved_at(layout_, freedom.from);
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
            logs.push_back(log_frequencies(*models_[d], shift_of(layout_, *models_[d], d, x)));
        VectorXd r(static_cast<Index>(data_.size()));
        for (std::size_t i = 0; i < data_.size(); ++i)
            r[static_cast<Index>(i)] =
                data_[i].log_frequency - logs[data_[i].device][static_cast<Index>(data_[i].line)];
        return r;
    }

    /// d ln f / d x by differences for what enters the tension's parts, from the weights for the rest.
    [[nodiscard]] MatrixXd jacobian(const VectorXd& x) const {
        MatrixXd j = MatrixXd::Zero(static_cast<Index>(data_.size()), x.size());
        for (const Index column : layout_.bent) {
            const double step = 1e-5 * layout_.parameters[static_cast<std::size_t>(column)].prior;
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
                if (map[n].parameter >= 0 && models_[data_[i].device]->inputs[n].axis == Axis::none)
                    j(row, map[n].parameter) += line.weights[n] * moved_slope(map[n], x[map[n].parameter]);
            if (layout_.growth[data_[i].device] >= 0)
                j(row, layout_.growth[data_[i].device]) = growth_slope(line, growth_of(layout_, data_[i].device, x));
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
        const double size = j.rows() > 0 ? (j * move).cwiseAbs().maxCoeff() : 0.0;
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
    s.x = VectorXd::Zero(problem.centre().size());
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
        s = solve(problem, VectorXd::Zero(problem.centre().size()), problem.weights(out.scatter));
    } else {
        s = solve_with_scatter(problem, data.size(), out.scatter);
    }
    const VectorXd weights = problem.weights(out.scatter);
    out.parameters = problem.layout().parameters;
    for (std::size_t j = 0; j < out.parameters.size(); ++j) {
        const auto k = static_cast<Index>(j);
        out.parameters[j].shift = s.x[k] - problem.centre()[k];
        out.parameters[j].deviation = std::sqrt(s.covariance(k, k));
    }
    for (std::size_t d = 0; d < models.size(); ++d)
        out.shifts.push_back(shift_of(problem.layout(), *models[d], d, s.x));
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

std::string full_name(const FittedParameter& p) {
    return p.device.value_or(0) == 0 ? p.name : std::string(p.name).append("@").append(std::to_string(*p.device + 1));
}

double correlation(const FilmFit& fit, std::size_t a, std::size_t b) {
    const auto i = static_cast<Index>(a), j = static_cast<Index>(b);
    return fit.covariance(i, j) / std::sqrt(fit.covariance(i, i) * fit.covariance(j, j));
}

}  // namespace tymbal
