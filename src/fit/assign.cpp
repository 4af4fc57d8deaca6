#include "tymbal/fit/assign.h"

#include "tymbal/base/constants.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace tymbal {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

constexpr double raster_step = 3e-3;  // of ln f; also the blur with which the raster is scored
constexpr double least_pull = 0.7;    // share of tension from which a film counts as a membrane
constexpr double plate_reach = 0.12;  // of ln f: +-5 % in size where bending dominates
constexpr double stress_prior = 0.3;  // of ln(stress), while searching
constexpr double tilt_prior = 0.05;
constexpr double band_margin = 0.02;  // of ln f, beyond the outermost peaks
constexpr std::size_t most_candidates = 24;
constexpr std::array<double, 4> scatters{2e-3, 7e-4, 2.5e-4, 8e-5};  // relative, beyond the stated errors
constexpr double hopeless = -1e3;
constexpr double leaned_on = 0.5;  // confidence from which a pair is named and used

/// What does not change during the search.
struct Scene {
    const std::vector<Peak>& peaks;
    const LineModel& model;
    VectorXd logs;        ///< ln of the peaks' frequencies
    VectorXd deviations;  ///< of them, stated
    VectorXd foreign;     ///< ln of the density of foreign peaks per ln f, at each peak
    VectorXd odds;        ///< ln P/(1 - P) of each line
    VectorXd unseen;      ///< ln(1 - P) of each line
};

Scene set_scene(const std::vector<Peak>& peaks, const LineModel& model) {
    const auto rows = static_cast<Index>(peaks.size()), columns = static_cast<Index>(model.lines.size());
    Scene s{peaks, model, VectorXd(rows), VectorXd(rows), VectorXd(rows), VectorXd(columns), VectorXd(columns)};
    const double span =
        std::max(peaks.back().frequency_hz - peaks.front().frequency_hz, 0.05 * peaks.back().frequency_hz);
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

bool in_band(const Scene& s, double log_frequency) {
    return log_frequency > s.logs[0] - band_margin && log_frequency < s.logs[s.logs.size() - 1] + band_margin;
}

double unseen_in_band(const Scene& s, const VectorXd& lines) {
    double sum = 0.0;
    for (Index k = 0; k < lines.size(); ++k)
        if (in_band(s, lines[k])) sum += s.unseen[k];
    return sum;
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

/// Log likelihood of the peaks for lines at given places, each peak by its nearest line.
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

struct Candidate {
    Shift shift;
    std::array<double, 3> place{};  ///< in steps of the raster: stress, tilt, size
    double score = 0.0;
};

/// All outline sizes grown together by ln(factor), such that ln f moves by `log_f`.
Eigen::VectorXd sizes_for(const LineModel& model, double log_f) {
    VectorXd unit = VectorXd::Zero(static_cast<Index>(model.inputs.size()));
    for (std::size_t j = 0; j < model.inputs.size(); ++j)
        if (model.inputs[j].name.rfind("outline.", 0) == 0) unit[static_cast<Index>(j)] = 1.0;
    constexpr double step = 1e-4;
    const VectorXd moved = log_frequencies(model, {0.0, 0.0, 0.0, step * unit});
    const double slope = (moved - log_frequencies(model, {})).mean() / step;
    return slope == 0.0 ? VectorXd::Zero(unit.size()) : VectorXd(unit * (log_f / slope));
}

double mean_pull(const LineModel& model) {
    double pull = 0.0;
    for (const Line& line : model.lines) pull += line.pull / static_cast<double>(model.lines.size());
    return pull;
}

/// Raster over stress and tilt. Under tension a size does what a stress does; a plate that bends needs the size, too.
std::vector<Candidate> raster(const Scene& s, const AssignReach& reach) {
    const double pull = mean_pull(s.model);
    const bool membrane = pull > least_pull;
    const double stress_step = membrane ? 2.0 * raster_step / pull : 0.15, tilt_step = 3.0 * raster_step;
    const auto steps = [](double far, double step) { return static_cast<int>(std::ceil(far / step)); };
    const int stresses = steps(reach.stress, stress_step), tilts = steps(reach.tilt, tilt_step);
    const int sizes = membrane ? 0 : steps(plate_reach, raster_step);
    std::vector<Candidate> all;
    for (int k = -sizes; k <= sizes; ++k) {
        const VectorXd inputs = sizes == 0 ? VectorXd() : sizes_for(s.model, k * raster_step);
        for (int j = -tilts; j <= tilts; ++j)
            for (int i = -stresses; i <= stresses; ++i) {
                const Shift shift{i * stress_step, j * tilt_step, 0.0, inputs};
                const double prior = std::pow(shift.stress / stress_prior, 2) + std::pow(shift.tilt / tilt_prior, 2);
                all.push_back({shift,
                               {1.0 * i, 1.0 * j, 1.0 * k},
                               raster_score(s, log_frequencies(s.model, shift)) - 0.5 * prior});
            }
    }
    return all;
}

/// The best points of the raster, apart from each other.
std::vector<Candidate> scan(const Scene& s, const AssignReach& reach) {
    std::vector<Candidate> all = raster(s, reach);
    const auto better = [](const Candidate& a, const Candidate& b) { return a.score > b.score; };
    std::stable_sort(all.begin(), all.end(), better);
    std::vector<Candidate> apart;
    for (const Candidate& c : all) {
        const bool near = std::any_of(apart.begin(), apart.end(), [&](const Candidate& a) {
            return std::abs(a.place[0] - c.place[0]) < 3.5 && std::abs(a.place[1] - c.place[1]) < 2.5 &&
                   std::abs(a.place[2] - c.place[2]) < 2.5;
        });
        if (!near) apart.push_back(c);
        if (apart.size() == most_candidates) break;
    }
    return apart;
}

double total_deviation(const Scene& s, Index peak, Index line, double scatter) {
    const double numerics = s.model.lines[static_cast<std::size_t>(line)].numerics;
    return std::sqrt(s.deviations[peak] * s.deviations[peak] + numerics * numerics + scatter * scatter);
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

/// A matching and the film that goes with it.
struct Hypothesis {
    std::vector<std::array<std::size_t, 2>> pairs;  ///< peak, line
    FilmFit fit;
    double scatter = 0.0;
    double evidence = -1e300;  ///< ln, against: no peak is a mode of this membrane
};

std::vector<std::array<std::size_t, 2>> match(const Scene& s, const VectorXd& lines, double scatter) {
    const std::vector<Index> order = rising(lines);
    auto pairs = best_matching(gains(s, lines, order, scatter));
    for (auto& pair : pairs) pair[1] = static_cast<std::size_t>(order[pair[1]]);
    return pairs;
}

Hypothesis weigh(const Scene& s, std::vector<std::array<std::size_t, 2>> pairs, double scatter,
                 const AssignReach& reach) {
    Hypothesis h{std::move(pairs), {}, scatter, -1e300};
    std::vector<Datum> data;
    double odds = 0.0;
    for (const auto& [peak, line] : h.pairs) {
        const auto i = static_cast<Index>(peak), k = static_cast<Index>(line);
        data.push_back({0, line, s.logs[i], total_deviation(s, i, k, 0.0)});
        odds += s.odds[k] - s.foreign[i];
    }
    h.fit = fit_film({&s.model}, data,
                     {.stress_deviation = stress_prior,
                      .tilt = true,
                      .growth = false,
                      .least_size_deviation = reach.size,
                      .scatter = scatter});
    const double missing = unseen_in_band(s, log_frequencies(s.model, h.fit.shifts.front()));
    const double as_many_foreign = static_cast<double>(s.logs.size()) * (0.5 - std::log(2.0));
    h.evidence = h.fit.log_evidence + odds + missing + as_many_foreign;
    return h;
}

/// Matching and film in turn, the tolerance narrowing; the scatter with the largest evidence wins.
Hypothesis refine(const Scene& s, const Candidate& start, const AssignReach& reach) {
    Shift shift = start.shift;
    Hypothesis best;
    for (const double scatter : scatters)
        for (int turn = 0; turn < 2; ++turn) {
            Hypothesis h = weigh(s, match(s, log_frequencies(s.model, shift), scatter), scatter, reach);
            if (h.pairs.empty()) return best;
            shift = h.fit.shifts.front();
            if (h.evidence > best.evidence) best = std::move(h);
        }
    return best;
}

/// Line that a hypothesis gives a peak, -1: none.
int line_of(const Hypothesis& h, std::size_t peak) {
    for (const auto& pair : h.pairs)
        if (pair[0] == peak) return static_cast<int>(pair[1]);
    return -1;
}

/// Two ways to the same film. The film with x and y swapped is another one, however near.
bool same_film(const LineModel& model, const Hypothesis& a, const Hypothesis& b) {
    if (a.pairs == b.pairs) return true;
    for (const auto& [peak, line] : a.pairs) {
        const int twin = model.lines[line].twin;
        if (twin >= 0 && line_of(b, peak) == twin) return false;
    }
    const Shift &x = a.fit.shifts.front(), &y = b.fit.shifts.front();
    return std::abs(x.stress - y.stress) < 3e-3 && std::abs(x.tilt - y.tilt) < 3e-3;
}

/// Another hypothesis is a rival when it names a quarter of the peaks otherwise; twins do not count: on a square
/// nothing in the frequencies tells x from y.
bool is_rival(const LineModel& model, const Hypothesis& best, const Hypothesis& other) {
    std::size_t otherwise = 0;
    for (const auto& [peak, line] : best.pairs) {
        const int named = line_of(other, peak), twin = model.lines[line].twin;
        if (named != static_cast<int>(line) && (twin < 0 || named != twin)) ++otherwise;
    }
    return 4 * otherwise > best.pairs.size();
}

std::vector<Hypothesis> hypotheses(const Scene& s, const AssignReach& reach) {
    std::vector<Hypothesis> all;
    for (const Candidate& c : scan(s, reach)) {
        Hypothesis h = refine(s, c, reach);
        if (!h.pairs.empty()) all.push_back(std::move(h));
    }
    std::stable_sort(all.begin(), all.end(),
                     [](const Hypothesis& a, const Hypothesis& b) { return a.evidence > b.evidence; });
    std::vector<Hypothesis> apart;
    for (Hypothesis& h : all)
        if (std::none_of(apart.begin(), apart.end(), [&](const Hypothesis& a) { return same_film(s.model, a, h); }))
            apart.push_back(std::move(h));
    return apart;
}

/// Chance of every pair, lines in the model's order, over all hypotheses and: no peak is a mode.
MatrixXd chances(const Scene& s, const std::vector<Hypothesis>& all, const std::vector<double>& weights) {
    MatrixXd sum = MatrixXd::Zero(s.logs.size(), static_cast<Index>(s.model.lines.size()));
    for (std::size_t h = 0; h < all.size(); ++h) {
        if (weights[h] < 1e-6) continue;
        const VectorXd lines = log_frequencies(s.model, all[h].fit.shifts.front());
        const std::vector<Index> order = rising(lines);
        const MatrixXd part = pair_chances(gains(s, lines, order, all[h].scatter));
        for (Index j = 0; j < part.cols(); ++j) sum.col(order[static_cast<std::size_t>(j)]) += weights[h] * part.col(j);
    }
    return sum;
}

/// Pairs of the best hypothesis with their confidence.
std::vector<Pairing> name_pairs(const Scene& s, const Hypothesis& best, const MatrixXd& chance) {
    std::vector<Pairing> pairs;
    for (const auto& [peak, line] : best.pairs) {
        const auto i = static_cast<Index>(peak);
        const double alone = chance(i, static_cast<Index>(line));
        const int other = s.model.lines[line].twin;
        const double confidence = alone + (other >= 0 ? chance(i, other) : 0.0);
        if (confidence > leaned_on) pairs.push_back({peak, line, std::min(confidence, 1.0), alone});
    }
    return pairs;
}

}  // namespace

Assignment assign(const std::vector<Peak>& peaks, const LineModel& model, const AssignReach& reach) {
    if (peaks.empty() || model.lines.empty()) return {};
    const Scene scene = set_scene(peaks, model);
    const std::vector<Hypothesis> all = hypotheses(scene, reach);
    if (all.empty()) return {};
    const double top = std::max(all.front().evidence, 0.0);
    double total = std::exp(-top);  // of: no peak is a mode
    for (const Hypothesis& h : all) total += std::exp(h.evidence - top);
    std::vector<double> weights;
    for (const Hypothesis& h : all) weights.push_back(std::exp(h.evidence - top) / total);
    Assignment out;
    out.certainty = 1.0 - std::exp(-top) / total;
    for (std::size_t h = 1; h < all.size(); ++h)
        if (is_rival(model, all.front(), all[h])) out.rival = std::max(out.rival, weights[h]);
    out.shift = all.front().fit.shifts.front();
    out.pairs = name_pairs(scene, all.front(), chances(scene, all, weights));
    return out;
}

}  // namespace tymbal
