#include "tymbal/fit/ringdown.h"

#include "tymbal/base/constants.h"
#include "tymbal/base/error.h"

#include <algorithm>
#include <array>
#include <cmath>

#include <Eigen/Dense>

namespace tymbal {

namespace {

using Eigen::Index;
using Eigen::VectorXd;

constexpr std::size_t least_points = 16;
constexpr Index most_points = 2000;  // longer traces are averaged
constexpr int most_steps = 100;
constexpr double least_folds = 0.5;
constexpr double one_rate = 2.8;                      // sigmas within which two rates are the same
constexpr std::array<double, 3> cuts{0.5, 1.0, 2.0};  // e-folds cut off the start on trial
constexpr double step_on = 0.35;                      // e-folds by which the start moves on

struct Trace {
    VectorXd time, power;  ///< power over its largest value
    double largest = 0.0;  ///< that value
};

/// Means over equal numbers of samples.
Trace averaged(const Decay& decay) {
    const auto n = static_cast<Index>(decay.time_s.size());
    const Index stride = std::max<Index>(1, n / most_points), points = n / stride;
    const Eigen::Map<const VectorXd> time(decay.time_s.data(), n), power(decay.power.data(), n);
    Trace t{VectorXd(points), VectorXd(points), 0.0};
    for (Index i = 0; i < points; ++i) {
        t.time[i] = time.segment(i * stride, stride).mean();
        t.power[i] = power.segment(i * stride, stride).mean();
    }
    const double top = t.power.maxCoeff();
    if (!(top > 0.0) || t.power.minCoeff() == top)
        throw NoAnswer("the ringdown has the same value everywhere; there is no decay in it");
    t.power /= top;
    t.largest = top;
    return t;
}

struct Fit {
    double height = 1.0, rate = 0.0, floor = 0.0;
    double deviation = 0.0;
    bool sound = false;
};

/// First guess: the floor is the mean of the last tenth, the rate comes from the area over it.
Fit first_guess(const VectorXd& t, const VectorXd& p) {
    const Index tail = std::max<Index>(2, p.size() / 10);
    Fit f;
    f.floor = std::max(p.tail(tail).mean(), 0.0);
    f.height = std::max(p.head(tail).mean() - f.floor, 1e-6);
    double area = 0.0;
    for (Index i = 1; i < t.size(); ++i) area += 0.5 * (p[i] + p[i - 1] - 2.0 * f.floor) * (t[i] - t[i - 1]);
    f.rate = area > 0.0 ? f.height / area : 1.0 / (t[t.size() - 1] - t[0]);
    return f;
}

Fit fit_from(const Trace& trace, Index from) {
    const Index n = trace.time.size() - from;
    const VectorXd t = trace.time.tail(n).array() - trace.time[from], p = trace.power.tail(n);
    Fit f = first_guess(t, p);
    Eigen::Matrix3d inverse = Eigen::Matrix3d::Zero();
    Eigen::MatrixXd j(n, 3);
    VectorXd w(n), r(n);
    for (int step = 0; step < most_steps; ++step) {
        for (Index i = 0; i < n; ++i) {
            const double decay = std::exp(-f.rate * t[i]), signal = f.height * decay;
            const double noise = std::max(f.floor, 1e-4 * signal + 1e-12);
            j.row(i) << decay, -t[i] * signal, 1.0;
            w[i] = 1.0 / (2.0 * signal * noise + noise * noise);
            r[i] = p[i] - signal - f.floor;
        }
        inverse = (j.transpose() * w.asDiagonal() * j).ldlt().solve(Eigen::Matrix3d::Identity());
        Eigen::Vector3d move = inverse * (j.transpose() * w.cwiseProduct(r));
        move *= std::min(1.0, 0.5 * f.rate / std::max(std::abs(move[1]), 1e-300));
        f.height += move[0];
        f.rate += move[1];
        f.floor = std::max(f.floor + move[2], 0.0);
        if (!(f.rate > 0.0) || !(f.height > 0.0)) return f;
        if (std::abs(move[1]) < 1e-10 * f.rate) break;
    }
    const VectorXd scores = w.cwiseProduct(r);
    const Eigen::Matrix3d spread = j.transpose() * scores.array().square().matrix().asDiagonal() * j;
    const Eigen::Matrix3d covariance = inverse * spread * inverse;
    f.deviation =
        std::sqrt(covariance(1, 1) * static_cast<double>(n) / std::max<double>(1.0, static_cast<double>(n - 3)));
    f.sound = std::isfinite(f.deviation) && f.rate > 3.0 * f.deviation;
    return f;
}

/// Nested fits: the difference of their rates has the difference of their variances.
bool same_rate(const Fit& longer, const Fit& shorter) {
    const double variance = std::max(shorter.deviation * shorter.deviation - longer.deviation * longer.deviation,
                                     0.1 * shorter.deviation * shorter.deviation);
    return std::abs(longer.rate - shorter.rate) <= one_rate * std::sqrt(variance);
}

Index index_after(const Trace& trace, Index from, double seconds) {
    Index i = from;
    while (i + 1 < trace.time.size() && trace.time[i] - trace.time[from] < seconds) ++i;
    return i;
}

/// True when the rate stays as more of the start is cut.
bool steady(const Trace& trace, Index from, const Fit& fit, Index last_start) {
    for (const double folds : cuts) {
        const Index later = index_after(trace, from, folds / fit.rate);
        if (later >= last_start) return true;
        const Fit cut = fit_from(trace, later);
        if (cut.sound && !same_rate(fit, cut)) return false;
    }
    return true;
}

}  // namespace

double Ringdown::decay_db_per_s() const {
    return 10.0 * rate / std::log(10.0);
}

double Ringdown::linewidth_hz() const {
    return rate / (2.0 * constants::pi);
}

Ringdown fit_ringdown(const Decay& decay) {
    if (decay.time_s.size() < least_points)
        throw NoAnswer("the ringdown has fewer than 16 points; cannot fit a decay and a floor. Record more points");
    if (!(decay.frequency_hz > 0.0))
        throw NoAnswer(
            "the ringdown does not say which frequency decays, and Q needs it; say it (frequency), or write "
            "'# frequency: 401.6 kHz' above the table");
    const Trace trace = averaged(decay);
    const Index last_start = trace.time.size() - static_cast<Index>(least_points);
    Index from = 0;
    Fit fit = fit_from(trace, from);
    while (fit.sound && !steady(trace, from, fit, last_start)) {
        from = index_after(trace, from, step_on / fit.rate);
        fit = fit_from(trace, from);
    }
    Ringdown out;
    out.folds = fit.rate * (trace.time[trace.time.size() - 1] - trace.time[from]);
    if (!fit.sound || out.folds < least_folds)
        throw NoAnswer("the signal does not decay by half an e-fold above its noise; record for longer");
    out.rate = fit.rate;
    out.deviation = fit.deviation;
    out.quality = 2.0 * constants::pi * decay.frequency_hz / fit.rate;
    out.quality_deviation = out.quality * fit.deviation / fit.rate;
    out.start = fit.height * trace.largest;
    out.floor = fit.floor / fit.height;
    if (out.floor > 0.0) out.folds = std::min(out.folds, -std::log(out.floor));
    out.left_out = trace.time[from] - trace.time[0];
    return out;
}

}  // namespace tymbal
