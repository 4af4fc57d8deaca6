#include "scene.h"

#include "tymbal/base/constants.h"
#include "tymbal/fit/assign.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double band_margin = 0.02;  // of ln f, beyond the outermost peaks
constexpr double hopeless = -1e3;
constexpr double unbounded = 1.0;  // one or two peaks bound no band: a foreign one may lie anywhere below, of ln f

bool in_band(const Scene& s, double log_frequency) {
    return log_frequency > s.logs[0] - band_margin && log_frequency < s.logs[s.logs.size() - 1] + band_margin;
}

/// Positions by rising frequency; insertion, because the model's own order is nearly that.
std::vector<Index> rising(const VectorXd& lines) {
    std::vector<Index> order(static_cast<std::size_t>(lines.size()));
    for (std::size_t k = 0; k < order.size(); ++k) {
        std::size_t at = k;
        for (; at > 0 && lines[order[at - 1]] > lines[static_cast<Index>(k)]; --at) order[at] = order[at - 1];
        order[at] = static_cast<Index>(k);
    }
    return order;
}

/// Gains of all pairs, columns by rising frequency of the lines.
MatrixXd gains(const Scene& s, const VectorXd& lines, const std::vector<Index>& order, double scatter) {
    MatrixXd gain = MatrixXd::Constant(s.logs.size(), lines.size(), hopeless);
    for (Index i = 0; i < s.logs.size(); ++i)
        for (Index j = 0; j < lines.size(); ++j) {
            const Index k = order[static_cast<std::size_t>(j)];
            const double distance = s.logs[i] - lines[k];
            if (std::abs(distance) > 0.03) continue;
            const double sigma = total_deviation(s, i, k, scatter), z = distance / sigma;
            if (std::abs(z) > 6.0) continue;
            gain(i, j) = s.odds[k] - s.foreign[i] - 0.5 * z * z - std::log(sigma * std::sqrt(2.0 * constants::pi));
        }
    return gain;
}

}  // namespace

Scene set_scene(const std::vector<Peak>& peaks, const LineModel& model) {
    const auto rows = static_cast<Index>(peaks.size()), columns = static_cast<Index>(model.lines.size());
    Scene s{peaks, model, VectorXd(rows), VectorXd(rows), VectorXd(rows), VectorXd(columns), VectorXd(columns)};
    const double least = peaks.size() < 3 ? unbounded : 0.05;
    const double span =
        std::max(peaks.back().frequency_hz - peaks.front().frequency_hz, least * peaks.back().frequency_hz);
    for (Index i = 0; i < rows; ++i) {
        const Peak& peak = peaks[static_cast<std::size_t>(i)];
        s.logs[i] = std::log(peak.frequency_hz);
        s.deviations[i] = peak.deviation_hz / peak.frequency_hz;
        s.foreign[i] = std::log(peak.frequency_hz * 0.5 * static_cast<double>(rows) / span);
    }
    for (Index k = 0; k < columns; ++k) {
        const double p = std::clamp(model.lines[static_cast<std::size_t>(k)].visibility, 0.02, 0.98);
        s.odds[k] = std::log(p / (1.0 - p));
        s.unseen[k] = std::log(1.0 - p);
    }
    return s;
}

double unseen_in_band(const Scene& s, const VectorXd& lines) {
    double sum = 0.0;
    for (Index k = 0; k < lines.size(); ++k)
        if (in_band(s, lines[k])) sum += s.unseen[k];
    return sum;
}

double raster_score(const Scene& s, const VectorXd& lines) {
    const std::vector<Index> order = rising(lines);
    const double norm = std::log(raster_step * std::sqrt(2.0 * constants::pi));
    double score = unseen_in_band(s, lines);
    std::size_t k = 0;
    for (Index i = 0; i < s.logs.size(); ++i) {
        while (k + 1 < order.size() &&
               std::abs(lines[order[k + 1]] - s.logs[i]) <= std::abs(lines[order[k]] - s.logs[i]))
            ++k;
        const double z = (lines[order[k]] - s.logs[i]) / raster_step;
        if (std::abs(z) < 6.0) score += std::log1p(std::exp(s.odds[order[k]] - s.foreign[i] - norm - 0.5 * z * z));
    }
    return score;
}

double total_deviation(const Scene& s, Index peak, Index line, double scatter) {
    const double numerics = s.model.lines[static_cast<std::size_t>(line)].numerics;
    return std::sqrt(s.deviations[peak] * s.deviations[peak] + numerics * numerics + scatter * scatter);
}

std::vector<std::array<std::size_t, 2>> match(const Scene& s, const VectorXd& lines, double scatter) {
    const std::vector<Index> order = rising(lines);
    auto pairs = best_matching(gains(s, lines, order, scatter));
    for (auto& pair : pairs) pair[1] = static_cast<std::size_t>(order[pair[1]]);
    return pairs;
}

MatrixXd chances(const Scene& s, const VectorXd& lines, double scatter) {
    const std::vector<Index> order = rising(lines);
    const MatrixXd part = pair_chances(gains(s, lines, order, scatter));
    MatrixXd out(part.rows(), part.cols());
    for (Index j = 0; j < part.cols(); ++j) out.col(order[static_cast<std::size_t>(j)]) = part.col(j);
    return out;
}

}  // namespace tymbal
