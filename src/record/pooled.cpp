#include "tymbal/record/pooled.h"

#include "tymbal/record/student_t.h"

#include <algorithm>
#include <cmath>

namespace tymbal {

namespace {

struct ChipMean {
    double value = 0.0;
    double variance = 0.0;  ///< of this mean
};

double mean_of(const std::vector<PooledValue>& values) {
    double sum = 0.0;
    for (const PooledValue& v : values) sum += v.value;
    return sum / static_cast<double>(values.size());
}

/// Mean square within chips; 0 where no chip has two values.
double within_variance(const std::vector<std::vector<PooledValue>>& chips) {
    double squares = 0.0;
    std::size_t degrees = 0;
    for (const auto& chip : chips) {
        const double mean = mean_of(chip);
        for (const PooledValue& v : chip) squares += (v.value - mean) * (v.value - mean);
        degrees += chip.size() - 1;
    }
    return degrees == 0 ? 0.0 : squares / static_cast<double>(degrees);
}

/// Of the plain mean of one chip's values, as their stated deviations have it.
double stated_variance(const std::vector<PooledValue>& values) {
    double squares = 0.0;
    for (const PooledValue& v : values) squares += v.deviation * v.deviation;
    return squares / static_cast<double>(values.size() * values.size());
}

std::vector<ChipMean> chip_means(const std::vector<std::vector<PooledValue>>& chips) {
    const double within = within_variance(chips);
    std::vector<ChipMean> means;
    for (const auto& chip : chips)
        means.push_back({mean_of(chip), std::max(within / static_cast<double>(chip.size()), stated_variance(chip))});
    return means;
}

struct Weighted {
    double mean = 0.0, weights = 0.0, squares = 0.0;  ///< sum of weighted squares about the mean
};

Weighted weigh(const std::vector<ChipMean>& means, double between) {
    Weighted out;
    double sum = 0.0;
    for (const ChipMean& m : means) {
        out.weights += 1.0 / (m.variance + between);
        sum += m.value / (m.variance + between);
    }
    out.mean = sum / out.weights;
    for (const ChipMean& m : means) out.squares += (m.value - out.mean) * (m.value - out.mean) / (m.variance + between);
    return out;
}

double plain_variance(const std::vector<ChipMean>& means) {
    double sum = 0.0, squares = 0.0;
    for (const ChipMean& m : means) sum += m.value;
    const double mean = sum / static_cast<double>(means.size());
    for (const ChipMean& m : means) squares += (m.value - mean) * (m.value - mean);
    return squares / static_cast<double>(means.size() - 1);
}

/// The variance between chips that makes the weighted squares what they are expected to be, by bisection.
double between_variance(const std::vector<ChipMean>& means) {
    const double expected = static_cast<double>(means.size()) - 1.0;
    const double highest = 4.0 * plain_variance(means) * expected;
    const double least = 1e-12 * highest;  // keeps weights finite where no chip states a deviation
    if (highest == 0.0 || weigh(means, least).squares <= expected) return 0.0;
    double low = least, high = highest;
    for (int step = 0; step < 200; ++step) {
        const double middle = 0.5 * (low + high);
        (weigh(means, middle).squares > expected ? low : high) = middle;
    }
    return 0.5 * (low + high);
}

/// Of the next chip's variance: a difference of two estimates is less sure than the one from chip to chip, and so has
/// fewer degrees (Satterthwaite, Biometrics Bull. 2, 110, 1946, from memory).
double next_factor(double between, double of_mean, double spread, int chips) {
    const double share = (between + of_mean) / ((1.0 + 1.0 / chips) * spread);
    return one_sigma_factor(spread > 0.0 ? std::clamp((chips - 1) * share * share, 1.0, chips - 1.0) : chips - 1.0);
}

Pooled one_chip(const std::vector<PooledValue>& values, const ChipMean& mean, double scatter) {
    Pooled out;
    out.mean = mean.value;
    out.chips = 1;
    out.values = static_cast<int>(values.size());
    out.scatter_given = scatter >= 0.0;
    out.between = std::max(scatter, 0.0);
    out.mean_std = std::hypot(std::sqrt(mean.variance), out.between);
    out.next_std = std::hypot(out.mean_std, out.between);
    return out;
}

}  // namespace

double chip_mean_variance(const std::vector<std::vector<PooledValue>>& chips) {
    double sum = 0.0;
    for (const ChipMean& m : chip_means(chips)) sum += m.variance;
    return sum / static_cast<double>(chips.size());
}

Pooled pool(const std::vector<std::vector<PooledValue>>& chips, double given_scatter) {
    const std::vector<ChipMean> means = chip_means(chips);
    Pooled out;
    double stated = 0.0;
    std::size_t values = 0;
    for (const auto& chip : chips) {
        values += chip.size();
        stated += stated_variance(chip) * static_cast<double>(chip.size());
    }
    const double within = std::sqrt(std::max(within_variance(chips), stated / static_cast<double>(chips.size())));
    if (chips.size() == 1) {
        out = one_chip(chips.front(), means.front(), given_scatter);
        out.within = within;
        return out;
    }
    const double between = between_variance(means);
    double floor = 0.0;  // no chip states a deviation and all agree: any equal weights will do
    for (const ChipMean& m : means) floor = std::max(floor, m.variance);
    const Weighted weighted = weigh(means, between > 0.0 || floor > 0.0 ? std::max(between, 1e-12 * floor) : 1e-300);
    out.chips = static_cast<int>(chips.size());
    out.values = static_cast<int>(values);
    out.degrees = out.chips - 1;
    out.within = within;
    out.between = std::sqrt(between);
    out.mean = weighted.mean;
    out.mean_std = one_sigma_factor(out.degrees) / std::sqrt(weighted.weights);
    const double spread = between + chip_mean_variance(chips);
    out.next_std =
        next_factor(between, 1.0 / weighted.weights, spread, out.chips) * std::sqrt(between + 1.0 / weighted.weights);
    return out;
}

double next_with(const Pooled& now, double chip_mean_variance, int more_chips, double more_values) {
    const double between = now.between * now.between, of_mean = chip_mean_variance / more_values;
    const int chips = now.chips + more_chips;
    const double spread = std::sqrt(between + (between + of_mean) / chips);
    return chips == 1 ? spread : next_factor(between, (between + of_mean) / chips, between + of_mean, chips) * spread;
}

}  // namespace tymbal
