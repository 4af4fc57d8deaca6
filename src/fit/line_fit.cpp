#include "line_fit.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr int most_steps = 60;

/// Parameters: scale and tilt of the floor, then per line place (in widths from its start), ln width and ln height.
struct Model {
    VectorXd value;
    MatrixXd slope;
};

class Piece {
public:
    Piece(const VectorXd& hz, const VectorXd& floor, const std::vector<Oscillator>& start)
        : hz_(hz), floor_(floor), start_(start), along_(VectorXd::LinSpaced(hz.size(), -1.0, 1.0)) {}

    [[nodiscard]] Index parameters() const { return 2 + 3 * static_cast<Index>(start_.size()); }

    [[nodiscard]] Oscillator line(const VectorXd& p, std::size_t k) const {
        const auto at = static_cast<Index>(2 + 3 * k);
        const Oscillator& s = start_[k];
        return {s.frequency_hz + p[at] * s.width_hz, least_width() + s.width_hz * std::exp(p[at + 1]),
                s.height * std::exp(p[at + 2])};
    }

    [[nodiscard]] Model at(const VectorXd& p) const {
        Model m{floor_.array() * (p[0] + p[1] * along_.array()), MatrixXd::Zero(hz_.size(), parameters())};
        m.slope.col(0) = floor_;
        m.slope.col(1) = floor_.cwiseProduct(along_);
        for (std::size_t k = 0; k < start_.size(); ++k)
            add(m, line(p, k), start_[k].width_hz, static_cast<Index>(2 + 3 * k));
        return m;
    }

    /// The background at the point nearest to a line.
    [[nodiscard]] double floor_at(const VectorXd& p, double hz) const {
        Index i = 0;
        (hz_.array() - hz).abs().minCoeff(&i);
        return floor_[i] * (p[0] + p[1] * along_[i]);
    }

    /// Narrower than this a line is a single point of the spectrum, whatever its width.
    [[nodiscard]] double least_width() const { return 0.3 * (hz_[1] - hz_[0]); }

private:
    void add(Model& m, const Oscillator& o, double unit, Index column) const {
        const double f0 = o.frequency_hz, w = o.width_hz;
        for (Index i = 0; i < hz_.size(); ++i) {
            const double f = hz_[i], d = f0 * f0 - f * f, below = d * d + f * f * w * w;
            const double value = o.height * f0 * f0 * w * w / below;
            m.value[i] += value;
            m.slope(i, column) = unit * value * (2.0 / f0 - 4.0 * d * f0 / below);
            m.slope(i, column + 1) = (w - least_width()) / w * value * (2.0 - 2.0 * f * f * w * w / below);
            m.slope(i, column + 2) = value;
        }
    }

    const VectorXd &hz_, &floor_;
    const std::vector<Oscillator>& start_;
    VectorXd along_;
};

double log_likelihood(const VectorXd& power, const VectorXd& model, double averages) {
    if (model.minCoeff() <= 0.0) return -1e300;
    return -averages * (power.array() / model.array() + model.array().log()).sum();
}

/// Fisher information; a faint prior (sigma 10 widths, ln width, ln height) keeps what the piece does not show finite.
MatrixXd information(const Model& m, const VectorXd& weight) {
    MatrixXd f = m.slope.transpose() * weight.asDiagonal() * m.slope;
    f.diagonal().tail(f.rows() - 2).array() += 0.01;
    return f;
}

struct Found {
    VectorXd p;
    MatrixXd information;
    double log_likelihood;
};

/// Fisher scoring with a damping that grows until the likelihood rises.
Found maximise(const Piece& piece, const VectorXd& power, double averages) {
    Found f{VectorXd::Zero(piece.parameters()), {}, 0.0};
    f.p[0] = 1.0;
    Model m = piece.at(f.p);
    f.log_likelihood = log_likelihood(power, m.value, averages);
    double damping = 1e-3;
    for (int step = 0; step < most_steps && damping < 1e8; ++step) {
        const VectorXd weight = averages * m.value.array().square().inverse();
        f.information = information(m, weight);
        const VectorXd gradient = m.slope.transpose() * weight.cwiseProduct(power - m.value);
        MatrixXd damped = f.information;
        damped.diagonal() *= 1.0 + damping;
        const VectorXd move = damped.ldlt().solve(gradient);
        const VectorXd next = f.p + move;
        if (!next.allFinite() || (next.tail(next.size() - 2).array().abs() > 20.0).any()) {
            damping *= 10.0;
            continue;
        }
        Model changed = piece.at(next);
        const double likelihood = log_likelihood(power, changed.value, averages);
        if (likelihood < f.log_likelihood) {
            damping *= 10.0;
            continue;
        }
        const bool done = likelihood - f.log_likelihood < 1e-9 * std::max(1.0, averages) && damping < 1.0;
        f = {next, f.information, likelihood};
        m = std::move(changed);
        damping = std::max(0.1 * damping, 1e-9);
        if (done) break;
    }
    const VectorXd weight = averages * m.value.array().square().inverse();
    f.information = information(m, weight);
    return f;
}

}  // namespace

double Oscillator::operator()(double hz) const {
    const double d = frequency_hz * frequency_hz - hz * hz, fw = frequency_hz * width_hz;
    return height * fw * fw / (d * d + hz * hz * width_hz * width_hz);
}

LineFit fit_lines(const VectorXd& hz, const VectorXd& power, const VectorXd& floor, std::vector<Oscillator> start,
                  double averages) {
    LineFit out;
    if (hz.size() < 2 + 3 * static_cast<Index>(start.size())) return out;
    const Piece piece(hz, floor, start);
    const Found found = maximise(piece, power, averages);
    const MatrixXd covariance = found.information.ldlt().solve(MatrixXd::Identity(found.p.size(), found.p.size()));
    out.log_likelihood = found.log_likelihood;
    out.sound = covariance.allFinite() && found.log_likelihood > -1e299;
    for (std::size_t k = 0; k < start.size(); ++k) {
        const Oscillator line = piece.line(found.p, k);
        const auto at = static_cast<Index>(2 + 3 * k);
        out.sound = out.sound && line.frequency_hz > hz[0] && line.frequency_hz < hz[hz.size() - 1] &&
                    covariance(at, at) > 0.0 && covariance(at + 1, at + 1) > 0.0;
        out.lines.push_back(line);
        out.floor.push_back(piece.floor_at(found.p, line.frequency_hz));
        out.frequency_deviation.push_back(start[k].width_hz * std::sqrt(std::abs(covariance(at, at))));
        out.width_deviation.push_back((line.width_hz - piece.least_width()) *
                                      std::sqrt(std::abs(covariance(at + 1, at + 1))));
        out.height_deviation.push_back(line.height * std::sqrt(std::abs(covariance(at + 2, at + 2))));
    }
    return out;
}

}  // namespace tymbal
